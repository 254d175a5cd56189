//! A list at a revision against a plain filter over all that was ever written.

use super::looking_up::stone_book;
use super::*;
use crossfall::quantity::money::UnitPrice;
use proptest::prelude::*;

proptest! {
    #![proptest_config(crate::config())]

    /// Whatever is written later, a list at a revision gives what it gave (a plain filter is the
    /// model: the newest word on each place up to the revision, the latest day up to the day).
    #[test]
    fn a_list_at_a_revision_is_what_a_plain_filter_finds(
        words in proptest::collection::vec((0..4_u8, 0..3_u8, proptest::option::of(1..90_i64), 0..6_i64), 1..24),
        as_of in 0..40_i64, order in 0..3_u8,
    ) {
        let quantity = |rung: u8| decimal(["0", "5", "10"][usize::from(rung)]);
        let since = |step: i64| day("2026-01-01") + chrono::Days::new(step as u64 * 7);
        let mut book = stone_book(Vec::new());
        let start = book.latest();
        let mut told = Vec::new();
        for (index, (place, rung, cents, until)) in words.iter().enumerate() {
            let price = Price {
                from_quantity: quantity(*rung),
                unit_price: cents.map(|cents| UnitPrice::from_ten_thousandths(cents * 100)),
                valid_until: (*until < 3).then(|| since(i64::from(*place) + until)),
                ..price("gravel", "a", "1", &since(i64::from(*place)).to_string())
            };
            told.push((start + 1 + index as i64, price.clone()));
            book = with_prices(&book, vec![price]);
        }
        let on = day("2026-01-01") + chrono::Days::new(as_of as u64);
        for revision in start..=book.latest() {
            let list = PriceList::new(Arc::new(book.clone()), Some(revision), on).expect("it exists");
            let found = list.quote_for("gravel", quantity(order)).ok().map(|quote| quote.unit_price);
            prop_assert_eq!(found, model(&told, revision, (on, quantity(order))));
        }
    }
}

fn model(
    told: &[(i64, Price)],
    revision: i64,
    (on, order): (NaiveDate, Decimal4),
) -> Option<UnitPrice> {
    let known: Vec<&Price> = told
        .iter()
        .filter(|(at, _)| *at <= revision)
        .map(|(_, price)| price)
        .collect();
    let newest = |price: &&Price| {
        let same = |other: &&&Price| {
            (other.effective_from, other.from_quantity)
                == (price.effective_from, price.from_quantity)
        };
        known
            .iter()
            .rev()
            .find(same)
            .is_some_and(|last| std::ptr::eq(*last, *price))
    };
    let live = known
        .iter()
        .copied()
        .filter(newest)
        .filter(|price| price.unit_price.is_some());
    let holds: Vec<&Price> = live
        .filter(|price| {
            price.effective_from <= on && price.valid_until.is_none_or(|until| on <= until)
        })
        .collect();
    let latest = holds.iter().map(|price| price.effective_from).max()?;
    let rungs = holds
        .into_iter()
        .filter(|price| price.effective_from == latest && price.from_quantity <= order);
    rungs.max_by_key(|price| price.from_quantity)?.unit_price
}
