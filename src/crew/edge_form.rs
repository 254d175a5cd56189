//! Staked forms by the row that they take.
//!
//! Invariants: a stretch takes one row; tapering is told of level edge forms alone, the other rows
//! contain it. Absent: hours, forms that no stake holds.

use super::figure::Figures;
use crate::quantity::{Area, Length};
use crate::takeoff::FormStretch;

/// Edge forms of one row.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct EdgeForms {
    pub(super) length: Length,
    /// Of it, what is higher at one end.
    pub(super) tapering: Length,
}

/// Staked forms by row.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct StakedForms {
    pub(super) slope: EdgeForms,
    pub(super) low: EdgeForms,
    pub(super) high: EdgeForms,
    /// Side forms, by the area in contact.
    pub(super) side: Area,
}

impl EdgeForms {
    fn add(&mut self, form: &FormStretch, tapers: bool) {
        self.length += form.length;
        if tapers {
            self.tapering += form.length;
        }
    }

    /// How much of it is higher at one end, 0 to 1.
    pub(super) fn tapering_share(self) -> f64 {
        if self.length > Length::ZERO {
            self.tapering / self.length
        } else {
            0.0
        }
    }
}

impl StakedForms {
    pub(super) fn of(stretches: &[FormStretch], figures: &Figures) -> Self {
        let mut forms = Self::default();
        for form in stretches {
            if !form.height.at_most(figures.form_high_height.likely) {
                forms.side += form.length * form.height;
            } else if form.slope {
                forms.slope.add(form, false);
            } else if form.height.at_most(figures.form_low_height.likely) {
                forms.low.add(form, form.tapers);
            } else {
                forms.high.add(form, form.tapers);
            }
        }
        forms
    }

    /// Edge forms of every row.
    pub(super) fn edges(&self) -> Length {
        self.slope.length + self.low.length + self.high.length
    }
}
