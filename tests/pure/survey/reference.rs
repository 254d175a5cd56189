//! Random ramps against numpy 2.4, scipy 1.17 and trimesh 5.2; `tests/data/survey/make.py` makes the
//! tables.

use crossfall::geometry::survey::{
    Field, find_pond, fit_line, fit_plane, steady_line, straightedge_gaps,
};
use crossfall::quantity::Length;

type Row = Vec<Vec<f64>>;

fn rows(text: &str) -> Vec<Row> {
    let mut table = csv::Reader::from_reader(text.as_bytes());
    let rows: Vec<Row> = table
        .records()
        .map(|row| {
            let row = row.expect("a row");
            let numbers = |cell: &str| {
                let parts = cell.split(' ');
                parts.map(|one| one.parse().expect("a number")).collect()
            };
            row.iter().map(numbers).collect()
        })
        .collect();
    assert_eq!(rows.len(), 60);
    rows
}

fn metres(values: &[f64]) -> Vec<Length> {
    values.iter().copied().map(Length::from_metres).collect()
}

fn places(row: &Row) -> Vec<(Length, Length)> {
    let pairs = metres(&row[0]).into_iter().zip(metres(&row[1]));
    pairs.collect()
}

fn close(found: f64, expected: f64) {
    let off = (found - expected).abs();
    assert!(
        off <= 1e-9 * expected.abs().max(1.0),
        "{found} is not {expected}"
    );
}

fn grid(row: &Row) -> Field {
    let (x, y) = (metres(&row[0]), metres(&row[1]));
    let heights = metres(&row[2]);
    Field::new(
        heights
            .into_iter()
            .enumerate()
            .map(|(at, z)| [x[at / y.len()], y[at % y.len()], z]),
    )
}

/// scipy.stats.linregress and theilslopes.
#[test]
fn lines_are_those_of_scipy() {
    for row in rows(include_str!("../../data/survey/lines.csv")) {
        let fit = fit_line(&places(&row)).expect("a line");
        close(fit.slope.ratio(), row[2][0]);
        close(fit.height.metres(), row[3][0]);
        close(fit.spread, row[4][0]);
        let steady = steady_line(&places(&row)).expect("a line");
        close(steady.slope.ratio(), row[5][0]);
        close(steady.height.metres(), row[6][0]);
    }
}

/// numpy.linalg.lstsq; the weakest direction by the singular values of the centred places.
#[test]
fn planes_are_those_of_numpy() {
    for row in rows(include_str!("../../data/survey/planes.csv")) {
        let columns = [metres(&row[0]), metres(&row[1]), metres(&row[2])];
        let points: Vec<[Length; 3]> = (0..row[0].len())
            .map(|at| [columns[0][at], columns[1][at], columns[2][at]])
            .collect();
        let plane = fit_plane(&points).expect("a plane");
        close(plane.along.ratio(), row[3][0]);
        close(plane.across.ratio(), row[4][0]);
        close(plane.height.metres(), row[5][0]);
        close(plane.steepest().ratio(), row[6][0]);
        close(
            plane.uncertainty(Length::from_metres(1.0)).ratio(),
            row[7][0],
        );
    }
}

/// Every chord of every two places, and scipy.spatial.ConvexHull where one straightedge spans all.
#[test]
fn gaps_under_a_straightedge_are_those_of_numpy_and_of_the_convex_hull() {
    for row in rows(include_str!("../../data/survey/gaps.csv")) {
        let gaps = straightedge_gaps(&places(&row), Length::from_metres(row[2][0]));
        for (gap, expected) in gaps.iter().zip(&row[3]) {
            close(gap.metres(), *expected);
        }
    }
}

/// The volume of trimesh's closed bodies, each patch parted along both diagonals.
#[test]
fn volumes_are_those_of_trimesh() {
    for row in rows(include_str!("../../data/survey/volumes.csv")) {
        let end = |values: &[f64]| Length::from_metres(*values.last().expect("a place"));
        let volume = grid(&row).volume((Length::ZERO, end(&row[0])), (Length::ZERO, end(&row[1])));
        close(volume.cubic_metres(), row[3][0]);
    }
}

/// Water let down to rest by numpy, cell by cell.
#[test]
fn standing_water_is_as_deep_as_numpy_finds_it() {
    let mut ponds = 0;
    for row in rows(include_str!("../../data/survey/ponds.csv")) {
        let pond = find_pond(&grid(&row), [true; 4]);
        let depth = pond.map_or(0.0, |pond| pond.depth.metres());
        close(depth, row[3][0]);
        ponds += usize::from(depth > 0.0);
    }
    assert!(ponds > 20, "{ponds} of the surfaces hold water");
}
