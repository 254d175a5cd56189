//! A demo book that is older than the program: said at the start, and extended by command.

use crate::launched::{Binary, Folder, command, output_of};
use crossfall::book::{Append, Signature, demo_book, open_store};
use crossfall::catalog::Price;

/// A database whose demo book was made by a program that knew fewer items.
async fn older(folder: &Folder) -> (String, usize) {
    let url = format!("sqlite://{}", folder.path().join("book.db").display());
    let (head, mut change) = demo_book().expect("it can be read");
    let whole = change.items.len();
    let first: Vec<String> = change
        .items
        .iter()
        .take(2)
        .map(|item| item.code.clone())
        .collect();
    change.items.retain(|item| !first.contains(&item.code));
    let known = |price: &Price| !first.contains(&price.item);
    change.prices.retain(known);
    let store = open_store(&url).await.expect("it opens");
    let by = Signature {
        caller: "a test".to_owned(),
        action: "book.create",
        target: head.code.clone(),
        request: None,
    };
    let append = Append {
        book: &head.code,
        made_at: chrono::DateTime::UNIX_EPOCH,
        change: &change,
        guard: None,
        by: &by,
        keep: None,
    };
    store.create(&head, append).await.expect("it is made");
    store.close().await;
    (url, whole - change.items.len())
}

fn extend(folder: &Folder, url: &str) -> String {
    let mut asked = command(folder);
    asked.args(["book", "extend-demo", "--database-url", url]);
    let ended = output_of(asked);
    assert!(
        ended.status.success(),
        "{}",
        String::from_utf8_lossy(&ended.stderr)
    );
    String::from_utf8(ended.stdout).expect("text")
}

#[tokio::test]
async fn what_it_lacks_is_said_and_added_once() {
    let folder = Folder::new();
    let (url, lacking) = older(&folder).await;
    assert_eq!(lacking, 2);
    let old = Binary::serve(&["--database-url", &url]);
    old.signal("INT");
    let (_, _, log) = old.end();
    assert!(
        log.contains("book extend-demo") && log.contains("\"items\":2"),
        "{log}"
    );
    assert_eq!(
        extend(&folder, &url),
        "2 items were added to it, in revision 2\n"
    );
    assert_eq!(extend(&folder, &url), "nothing is missing in it\n");
    let new = Binary::serve(&["--database-url", &url]);
    new.signal("INT");
    let (_, _, log) = new.end();
    assert!(!log.contains("book extend-demo"), "{log}");
}
