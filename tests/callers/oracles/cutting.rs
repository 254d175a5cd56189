//! Least costs of cut lists against OR-Tools CP-SAT, which is given every pattern there is.

use super::ask;
use super::solids::Numbers;
use crossfall::quantity::Length;
use crossfall::takeoff::{CutList, Piece, Problem, Stock, cut};
use serde_json::{Value, json};

/// Lengths in eighths of an inch, prices in cents.
struct Case {
    stock: Vec<(u32, u32)>,
    sizes: Vec<u32>,
    counts: Vec<u32>,
    kerf: u32,
}

fn eighths(number: u32) -> Length {
    Length::from_inches(f64::from(number) / 8.0)
}

impl Case {
    /// One to three lengths of stock; two to six kinds of piece; few of each, or many of each, of which
    /// the many go to column generation.
    fn draw(numbers: &mut Numbers, case: usize) -> Self {
        let mut whole = |least: f64, most: f64| numbers.next(least, most) as u32;
        let mut stock: Vec<(u32, u32)> = (0..=case % 3)
            .map(|_| (whole(96.0, 240.0) * 8, whole(600.0, 3_000.0)))
            .collect();
        stock.sort_unstable();
        stock.dedup_by_key(|(length, _)| *length);
        let longest = f64::from(stock.last().map_or(0, |(length, _)| *length));
        let kinds = whole(2.0, 7.0);
        let most = if case.is_multiple_of(5) { 90.0 } else { 8.0 };
        Self {
            sizes: (0..kinds)
                .map(|_| whole(longest * 0.12, longest * 0.75))
                .collect(),
            counts: (0..kinds).map(|_| whole(1.0, most)).collect(),
            // No cut is lost where only steel is sheared.
            kerf: u32::from(case % 2 == 1),
            stock,
        }
    }

    fn tell(&self) -> Value {
        json!({
            "stock": self.stock, "sizes": self.sizes, "counts": self.counts, "kerf": self.kerf,
        })
    }

    fn cut(&self) -> CutList {
        let stock: Vec<Stock> = self
            .stock
            .iter()
            .map(|(length, price)| Stock {
                code: price.to_string(),
                length: eighths(*length),
                worth: Some(i64::from(*price)),
            })
            .collect();
        let pairs = self.sizes.iter().zip(&self.counts);
        let pieces: Vec<Piece> = pairs
            .map(|(size, count)| Piece {
                mark: String::new(),
                length: eighths(*size),
                count: *count,
            })
            .collect();
        cut(&Problem {
            stock: &stock,
            pieces: &pieces,
            kerf: eighths(self.kerf),
            keep: Length::from_feet(2.0),
            nodes: 4_000,
        })
    }
}

/// The code of each stock is its price.
fn cost(list: &CutList) -> f64 {
    let each = list.stock.iter().map(|used| {
        let price: f64 = used.code.parse().expect("a price");
        price * f64::from(used.count)
    });
    each.sum()
}

#[test]
fn a_cut_list_costs_what_a_solver_finds_least() {
    let mut numbers = Numbers(11);
    let cases: Vec<Case> = (0..500)
        .map(|case| Case::draw(&mut numbers, case))
        .collect();
    let least = ask("cutting.py", &cases.iter().map(Case::tell).collect());
    let (mut solved, mut proven, mut met) = (0, 0, 0);
    for (index, case) in cases.iter().enumerate() {
        let list = case.cut();
        let Some(least) = least[index].as_f64() else {
            continue;
        };
        let ours = cost(&list);
        let bound = ours / (1.0 + list.gap.percent() / 100.0);
        assert!(ours >= least, "{index}: {ours} is under the least, {least}");
        assert!(
            bound <= least + 1e-6,
            "{index}: a bound of {bound} over the least, {least}"
        );
        if list.proven_least {
            assert!(
                (ours - least).abs() < 0.5,
                "{index}: {ours} proven, but {least} is less"
            );
        }
        solved += 1;
        proven += u32::from(list.proven_least);
        met += u32::from((ours - least).abs() < 0.5);
    }
    println!("{solved} solved there, {met} met here, {proven} proven here");
    assert!(solved >= 480, "only {solved} solved there");
    assert!(
        proven >= 440 && met >= 460,
        "{met} met and {proven} proven here"
    );
}
