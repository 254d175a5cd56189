//! The clock set back, or wrong, while the book is written.
//!
//! Invariants: revisions stay in order of time; what was priced is priced the same; a kept answer is
//! found whatever the clock says.

use crate::store::place::Place;
use chrono::{DateTime, TimeDelta, Utc};
use crossfall::{
    book::{Append, Claim, Claimed, Keep, KeptAnswer, Made, Signature},
    catalog::{Change, Price, PriceList},
    quantity::money::Decimal4,
};
use std::sync::Arc;

both!(
    revisions_stay_in_order_of_time_when_the_clock_jumps_back,
    an_answer_kept_in_the_future_is_still_given_again,
);

const STONE: &str = "stone-dense-graded";

fn by() -> Signature {
    Signature {
        caller: "test".to_owned(),
        action: "test.write",
        target: "demo".to_owned(),
        request: None,
    }
}

fn priced(dollars: &str) -> Change {
    let price = Price {
        item: STONE.to_owned(),
        supplier: "quarry-yard".to_owned(),
        unit_price: Some(dollars.parse().expect("a price")),
        effective_from: "2026-02-16".parse().expect("a day"),
        from_quantity: Decimal4::ZERO,
        valid_until: None,
        quoted_for: None,
    };
    Change {
        prices: vec![price],
        ..Change::default()
    }
}

async fn write(place: &Place, dollars: &str, made_at: DateTime<Utc>, keep: Option<&Keep>) -> Made {
    let (change, by) = (priced(dollars), by());
    let append = Append {
        book: "demo",
        made_at,
        change: &change,
        guard: None,
        by: &by,
        keep,
    };
    let store = place.store().await;
    store.append(append).await.expect("accepted")
}

/// The price of stone at each revision.
async fn prices(place: &Place) -> Vec<String> {
    let book = Arc::new(place.demo().await);
    let at = |revision| {
        let list = PriceList::new(
            book.clone(),
            Some(revision),
            "2026-05-04".parse().expect("a day"),
        );
        let list = list.expect("the revision exists");
        list.quote(STONE).expect("priced").unit_price.to_string()
    };
    (1..=book.latest()).map(at).collect()
}

async fn revisions_stay_in_order_of_time_when_the_clock_jumps_back(place: &Place) {
    place.books().await;
    let now = Utc::now();
    let mut expected = prices(place).await;
    for (days, dollars) in [
        (0, "35.00"),
        (-400, "36.00"),
        (2, "37.00"),
        (-1, "38.00"),
        (3, "39.00"),
    ] {
        let before = prices(place).await;
        write(place, dollars, now + TimeDelta::days(days), None).await;
        expected.push(dollars.to_owned());
        assert_eq!(
            prices(place).await[..before.len()],
            before,
            "what was priced stays"
        );
        assert_eq!(prices(place).await, expected);
    }
    let book = place.demo().await;
    let instants: Vec<_> = book
        .revisions()
        .iter()
        .map(|revision| revision.made_at)
        .collect();
    assert!(instants.is_sorted(), "{instants:?}");
    assert_eq!(
        instants[2], instants[1],
        "a jump back takes the last instant"
    );
    let audit = place
        .texts("SELECT at FROM audit WHERE book = 'demo' ORDER BY revision")
        .await;
    assert!(audit.is_sorted() && audit.len() == 6, "{audit:?}");
}

async fn an_answer_kept_in_the_future_is_still_given_again(place: &Place) {
    place.books().await;
    let store = place.store().await;
    let claim = |owner, at| Claim {
        caller: "test",
        key: "one",
        request: HASH,
        owner,
        at,
    };
    let future = Utc::now() + TimeDelta::hours(5);
    assert_eq!(
        store.claim(claim("first", future)).await.expect("answers"),
        Claimed::Mine
    );
    // Its maker is at work, or gone; nobody can say until the claim is old enough.
    let meanwhile = store.claim(claim("second", Utc::now())).await;
    assert_eq!(meanwhile.expect("answers"), Claimed::Running);
    let answer = KeptAnswer {
        status: 200,
        headers: vec![("etag".to_owned(), "\"2\"".to_owned())],
        body: "{}".to_owned(),
    };
    let keep = Keep {
        caller: "test".to_owned(),
        key: "one".to_owned(),
        owner: "first".to_owned(),
        answer: answer.clone(),
    };
    assert_eq!(write(place, "35.00", future, Some(&keep)).await.revision, 2);
    for hours in [-30, -1, 0, 5, 20] {
        let at = Utc::now() + TimeDelta::hours(hours);
        let again = store.claim(claim("third", at)).await.expect("answers");
        assert_eq!(
            again,
            Claimed::Answered(answer.clone()),
            "{hours} h from now"
        );
    }
    assert_eq!(place.demo().await.latest(), 2, "written once");
}

const HASH: &str = "0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef";
