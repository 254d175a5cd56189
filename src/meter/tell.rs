//! Writing of a figure that is read when it is asked for.

use prometheus_client::{
    encoding::{DescriptorEncoder, EncodeLabelSet, EncodeMetric},
    metrics::{TypedMetric, counter::ConstCounter, gauge::ConstGauge},
};
use std::fmt;

/// A name and what it means.
type About = (&'static str, &'static str);

/// Writes figures.
pub(super) struct Tell<'a>(pub(super) DescriptorEncoder<'a>);

impl Tell<'_> {
    /// Something that goes up and down.
    pub(super) fn gauge<N>(&mut self, about: About, value: ConstGauge<N>) -> fmt::Result
    where
        ConstGauge<N>: EncodeMetric,
    {
        self.metric(about, &value)
    }

    /// Something that only grows.
    pub(super) fn counter<N>(&mut self, about: About, value: ConstCounter<N>) -> fmt::Result
    where
        ConstCounter<N>: EncodeMetric,
    {
        self.metric(about, &value)
    }

    fn metric(&mut self, (name, help): About, value: &impl EncodeMetric) -> fmt::Result {
        let kind = value.metric_type();
        value.encode(self.0.encode_descriptor(name, help, None, kind)?)
    }

    /// The same, told apart by labels.
    pub(super) fn gauges<L: EncodeLabelSet>(
        &mut self,
        (name, help): About,
        values: impl Iterator<Item = (L, i64)>,
    ) -> fmt::Result {
        let kind = ConstGauge::<i64>::TYPE;
        let mut family = self.0.encode_descriptor(name, help, None, kind)?;
        for (labels, value) in values {
            ConstGauge::new(value).encode(family.encode_family(&labels)?)?;
        }
        Ok(())
    }
}
