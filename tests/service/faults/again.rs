//! A quote priced again after its prices have changed, on both databases.

use super::{
    asking::{estimate, fingerprint, reprice, sent},
    process::Process,
};
use crate::store::place::Place;

both!(a_quote_priced_again_at_its_revision_is_the_same_bytes);

/// Prices a quote, changes its prices three times, prices it again, also after a restart: the body
/// of the first.
async fn quote_and_again(place: &Place) -> String {
    let running = Process::start(&place.address);
    let (status, first) = sent(estimate(&running.base, Some(1))).await;
    assert_eq!(status, 200, "{first}");
    for seen in 1..=3 {
        let (status, body) = sent(reprice(&running.base, &format!("4{seen}.00"), seen)).await;
        assert_eq!(status, 200, "{body}");
        assert_eq!(sent(estimate(&running.base, Some(1))).await.1, first);
    }
    let (_, now) = sent(estimate(&running.base, None)).await;
    assert_ne!(
        fingerprint(&now),
        fingerprint(&first),
        "the new prices count"
    );
    running.kill();
    let later = Process::start(&place.address);
    assert_eq!(
        sent(estimate(&later.base, Some(1))).await.1,
        first,
        "same bytes"
    );
    assert_eq!(sent(estimate(&later.base, None)).await.1, now, "same bytes");
    first
}

async fn a_quote_priced_again_at_its_revision_is_the_same_bytes(place: &Place) {
    let here = quote_and_again(place).await;
    // Whatever the other database is, an embedded file gives the same.
    let file = Place::sqlite();
    assert_eq!(
        quote_and_again(&file).await,
        here,
        "the same on both databases"
    );
    println!("priced again: fingerprint {}", fingerprint(&here));
    file.remove().await;
}
