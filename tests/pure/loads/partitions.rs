//! The search for the cheapest partition, against a table over every subset, and when it is cut short.

use crossfall::loads::{Column, partition};
use proptest::prelude::*;

/// The least cost of covering each subset exactly, by the textbook recurrence over its lowest member.
fn table(columns: &[Column], pieces: usize) -> i128 {
    let mut least = vec![i128::MAX; 1 << pieces];
    least[0] = 0;
    for set in 1..least.len() as u32 {
        let lowest = set & set.wrapping_neg();
        let within = columns
            .iter()
            .filter(|column| column.set & lowest != 0 && column.set & !set == 0);
        let costs =
            within.filter_map(|column| least[(set & !column.set) as usize].checked_add(column.key));
        least[set as usize] = costs.min().unwrap_or(i128::MAX);
    }
    least[least.len() - 1]
}

fn any_columns() -> impl Strategy<Value = (usize, Vec<Column>)> {
    (2_usize..=11).prop_flat_map(|pieces| {
        let single = prop::collection::vec(1_u32..1000, pieces);
        let several = prop::collection::vec((1_u32..1 << pieces, 1_u32..2000), 0..80);
        (single, several).prop_map(move |(single, several)| {
            let single = single
                .into_iter()
                .enumerate()
                .map(|(piece, key)| (1 << piece, key));
            let several = several
                .into_iter()
                .filter(|(set, _)| (2..=4).contains(&set.count_ones()));
            let columns = single.chain(several).map(|(set, key)| Column {
                set,
                key: i128::from(key),
            });
            (pieces, columns.collect())
        })
    })
}

proptest! {
    #![proptest_config(crate::config())]

    #[test]
    fn the_search_finds_what_a_table_over_all_subsets_finds((pieces, columns) in any_columns()) {
        let solved = partition(&columns, pieces, 1_000_000);
        prop_assert!(solved.proven);
        prop_assert_eq!(solved.key, table(&columns, pieces));
        let covered = solved.chosen.iter().fold(0_u32, |all, number| {
            assert_eq!(all & columns[*number].set, 0, "a piece twice");
            all | columns[*number].set
        });
        prop_assert_eq!(covered, (1 << pieces) - 1);
        let cost: i128 = solved.chosen.iter().map(|number| columns[*number].key).sum();
        prop_assert_eq!(cost, solved.key);
    }

    #[test]
    fn cut_short_it_still_answers_and_its_bound_still_holds(
        (pieces, columns) in any_columns(), trials in 0_u64..40,
    ) {
        let solved = partition(&columns, pieces, trials);
        let least = table(&columns, pieces);
        prop_assert!(solved.bound <= least && least <= solved.key, "{solved:?}: {least}");
        prop_assert!(!solved.proven || solved.key == least);
        prop_assert!(solved.tried <= trials);
    }
}

/// Three pieces of which any two cost 2 together: half of each column is a cover of 3, and no whole one
/// is cheaper than 4. A bound from prices alone cannot see that; the search does.
#[test]
fn what_no_price_can_show_is_searched_out() {
    let column = |set, key| Column { set, key };
    let mut columns: Vec<Column> = (0..3).map(|piece| column(1 << piece, 2)).collect();
    columns.extend([0b011, 0b110, 0b101].map(|set| column(set, 2)));
    let solved = partition(&columns, 3, 1000);
    assert_eq!((solved.key, solved.bound, solved.proven), (4, 4, true));
    let cut = partition(&columns, 3, 0);
    assert_eq!((cut.key, cut.bound, cut.proven), (4, 3, false));
}
