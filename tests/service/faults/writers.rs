//! Writers that meet.

use super::{
    asking::{book, reprice, sent},
    process::Process,
    times,
};
use crate::launched::demo_items;
use crate::store::place::Place;

both!(of_two_writers_on_one_item_one_is_told_that_it_changed);

async fn of_two_writers_on_one_item_one_is_told_that_it_changed(place: &Place) {
    let (one, other) = (
        Process::start(&place.address),
        Process::start(&place.address),
    );
    let mut seen = 1;
    for round in 0..times() {
        let bases = if round % 2 == 0 {
            (&one.base, &other.base)
        } else {
            (&one.base, &one.base)
        };
        let dollars = |writer: usize| format!("{}.{:02}", 30 + round, writer);
        let (left, right) = tokio::join!(
            sent(reprice(bases.0, &dollars(1), seen)),
            sent(reprice(bases.1, &dollars(2), seen)),
        );
        let mut answers = [left.0, right.0];
        answers.sort_unstable();
        assert_eq!(answers, [200, 412], "round {round}: {left:?} {right:?}");
        seen += 1;
        let refused = if left.0 == 412 { left.1 } else { right.1 };
        assert!(
            refused.contains("/problems/precondition-failed"),
            "{refused}"
        );
        let path = format!("{}/v1/price-books/demo/revisions", bases.0);
        assert_eq!(
            crate::launched::client()
                .get(path)
                .send()
                .await
                .expect("an answer")
                .status(),
            200
        );
    }
    tokio::time::sleep(std::time::Duration::from_secs(1)).await;
    for process in [&one, &other] {
        assert_eq!(
            book(&process.base).await,
            (seen, demo_items()),
            "a revision a round"
        );
    }
    println!("{} rounds: one 200 and one 412 each", times());
}
