//! Least squares: a line, several lines of one slope, a plane; and a line that a few bad readings do
//! not move.
//!
//! Invariants: sums are taken about the mean, so that a far datum costs no figure; what cannot be fitted
//! (one place, places on one line) is none.
//!
//! # Source
//! Ordinary least squares; uncertainty of a slope u / sqrt(sum of squared distances), of a plane from
//! the inverse of its normal matrix (JCGM 100:2008, GUM, 5.1, from memory). The steady line is the
//! median of the slopes of all pairs (Theil 1950, Sen 1968, from memory).

use super::profile::{Noise, Profile};
use crate::quantity::{Length, Slope};

/// A line fitted to heights.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LineFit {
    /// Its slope.
    pub slope: Slope,
    /// Its height where `at` is zero.
    pub height: Length,
    /// Sum of the squared distances from their mean, in square metres.
    pub spread: f64,
}

/// A plane fitted to heights.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlaneFit {
    /// Slope along.
    pub along: Slope,
    /// Slope across.
    pub across: Slope,
    /// Height where both are zero.
    pub height: Length,
    /// Sums of squared distances from their means, and of their products, in square metres.
    pub spread: [f64; 3],
}

impl LineFit {
    /// Height at a place.
    pub fn at(&self, at: Length) -> Length {
        self.height + self.slope * at
    }
}

impl PlaneFit {
    /// Slope where it is steepest, whichever way that is.
    pub fn steepest(&self) -> Slope {
        Slope::from_ratio(libm::hypot(self.along.ratio(), self.across.ratio()))
    }

    /// Height at a place.
    pub fn at(&self, along: Length, across: Length) -> Length {
        self.height + self.along * along + self.across * across
    }

    /// Uncertainty of its slope in the direction that is known least, from that of one height.
    pub fn uncertainty(&self, height: Length) -> Slope {
        let [xx, xy, yy] = self.spread;
        let middle = f64::midpoint(xx, yy);
        let weakest = middle - libm::hypot((xx - yy) / 2.0, xy);
        Slope::from_ratio(height.metres() / libm::sqrt(weakest.max(f64::MIN_POSITIVE)))
    }
}

fn mean(values: impl ExactSizeIterator<Item = f64>) -> f64 {
    let count = values.len() as f64;
    values.sum::<f64>() / count
}

/// The least-squares line through places and heights; none where all places are one.
pub fn fit_line(places: &[(Length, Length)]) -> Option<LineFit> {
    let (xx, xz, x, z) = sums(places)?;
    let slope = Slope::from_ratio(xz / xx);
    Some(LineFit {
        slope,
        height: Length::from_metres(z) - slope * Length::from_metres(x),
        spread: xx,
    })
}

/// Sums of squares and of products about the means, and the means.
fn sums(places: &[(Length, Length)]) -> Option<(f64, f64, f64, f64)> {
    if places.len() < 2 {
        return None;
    }
    let x = mean(places.iter().map(|(at, _)| at.metres()));
    let z = mean(places.iter().map(|(_, height)| height.metres()));
    let (mut xx, mut xz) = (0.0, 0.0);
    for (at, height) in places {
        let dx = at.metres() - x;
        xx += dx * dx;
        xz += dx * (height.metres() - z);
    }
    (xx > 1e-12).then_some((xx, xz, x, z))
}

/// The least-squares plane through places along, across and heights; none where they lie on one line.
pub fn fit_plane(places: &[[Length; 3]]) -> Option<PlaneFit> {
    if places.len() < 3 {
        return None;
    }
    let column = |index: usize| mean(places.iter().map(|place| place[index].metres()));
    let means = [column(0), column(1), column(2)];
    let [mut xx, mut xy, mut yy, mut xz, mut yz] = [0.0; 5];
    for place in places {
        let x = place[0].metres() - means[0];
        let y = place[1].metres() - means[1];
        let z = place[2].metres() - means[2];
        xx += x * x;
        xy += x * y;
        yy += y * y;
        xz += x * z;
        yz += y * z;
    }
    let determinant = xx * yy - xy * xy;
    if determinant <= 1e-9 * (xx + yy) * (xx + yy) {
        return None;
    }
    let along = Slope::from_ratio((xz * yy - yz * xy) / determinant);
    let across = Slope::from_ratio((yz * xx - xz * xy) / determinant);
    let [x, y, z] = means.map(Length::from_metres);
    Some(PlaneFit {
        along,
        across,
        height: z - along * x - across * y,
        spread: [xx, xy, yy],
    })
}

/// Slope, expanded uncertainty and scatter of several lines that share one slope, each at a height of
/// its own; none where nothing was read.
pub(super) fn fit_together(lines: &[&Profile]) -> Option<(Slope, Slope, Length)> {
    let (mut all_xx, mut all_xz, mut variance) = (0.0, 0.0, 0.0);
    let (mut squares, mut count) = (0.0, 0.0);
    let fits = lines
        .iter()
        .filter_map(|line| Some((line, sums(&line.places())?)));
    let fits: Vec<_> = fits.collect();
    for (line, (xx, xz, ..)) in &fits {
        all_xx += xx;
        all_xz += xz;
        let own = slope_uncertainty(line, *xx);
        variance += (xx * own) * (xx * own);
    }
    if fits.is_empty() {
        return None;
    }
    let slope = all_xz / all_xx;
    for (line, (_, _, x, z)) in &fits {
        for (at, height) in line.places() {
            let off = height.metres() - z - slope * (at.metres() - x);
            squares += off * off;
            count += 1.0;
        }
    }
    Some((
        Slope::from_ratio(slope),
        Slope::from_ratio(libm::sqrt(variance) / all_xx),
        Length::from_metres(libm::sqrt(squares / count)),
    ))
}

/// Expanded uncertainty of the least-squares slope of one line.
fn slope_uncertainty(line: &Profile, xx: f64) -> f64 {
    match &line.noise {
        Noise::Shots(height) => height.metres() / libm::sqrt(xx),
        // Heights are sums of slopes, so that an error of one lifts all places after it.
        Noise::Level(slopes) => {
            let places: Vec<f64> = line.nodes.iter().map(|node| node.at.metres()).collect();
            let middle = mean(places.iter().copied());
            let mut after: f64 = 0.0;
            let mut squares = 0.0;
            for (index, error) in slopes.iter().enumerate().rev() {
                after += places[index + 1] - middle;
                let span = places[index + 1] - places[index];
                let share = after * span / xx * error.ratio();
                squares += share * share;
            }
            libm::sqrt(squares)
        }
    }
}

/// A line that most of the places lie on, however far off a few are; none where all places are one.
pub fn steady_line(places: &[(Length, Length)]) -> Option<LineFit> {
    let mut slopes = Vec::new();
    for (index, (at, height)) in places.iter().enumerate() {
        let later = places[index + 1..].iter();
        let apart = later.filter(|(other, _)| !(*other - *at).is_zero());
        slopes.extend(apart.map(|(other, above)| (*above - *height) / (*other - *at)));
    }
    let slope = Slope::from_ratio(median(&mut slopes)?);
    let mut heights: Vec<f64> = places
        .iter()
        .map(|(at, height)| (*height - slope * *at).metres())
        .collect();
    let fitted = fit_line(places)?;
    Some(LineFit {
        slope,
        height: Length::from_metres(median(&mut heights)?),
        spread: fitted.spread,
    })
}

/// The middle of the values, or between the two in the middle.
pub(super) fn median(values: &mut [f64]) -> Option<f64> {
    values.sort_by(f64::total_cmp);
    let half = values.len() / 2;
    let upper = values.get(half).copied()?;
    if values.len() % 2 == 1 {
        return Some(upper);
    }
    Some(f64::midpoint(values[half - 1], upper))
}
