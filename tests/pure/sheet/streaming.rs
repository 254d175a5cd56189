//! Tables as they come: the same rows as when they are read whole, whatever the pieces.

use super::bench::{self, LIMITS, all};
use crossfall::sheet::{CsvStream, Limits, LineStream, StreamError, read_csv};
use proptest::prelude::*;
use std::io::{self, Read};

/// Gives a text in pieces of a few bytes.
struct Pieces<'a> {
    rest: &'a [u8],
    size: usize,
}

impl Read for Pieces<'_> {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        let read = self.size.min(self.rest.len()).min(into.len());
        into[..read].copy_from_slice(&self.rest[..read]);
        self.rest = &self.rest[read..];
        Ok(read)
    }
}

fn streamed(bytes: &[u8], charset: Option<&str>, (size, limits): (usize, Limits)) -> Vec<String> {
    let mut said = Vec::new();
    let stream = Pieces { rest: bytes, size };
    let mut stream = match CsvStream::open(stream, charset, limits) {
        Ok(stream) => stream,
        Err(error) => return vec![error.to_string()],
    };
    said.push(stream.heading().names().join("|"));
    let (heading, dialect) = (stream.heading().clone(), stream.style().dialect);
    loop {
        match stream.next_record() {
            Ok(Some(record)) => said.push(match record.cells(&heading, dialect) {
                Ok(cells) => format!("{} {}", record.number, cells.join("|")),
                Err((fault, _)) => fault.to_string(),
            }),
            Ok(None) => return said,
            Err(error) => {
                said.push(error.to_string());
                return said;
            }
        }
    }
}

fn csv(text: &str) -> Vec<String> {
    streamed(text.as_bytes(), None, (3, LIMITS))
}

#[test]
fn a_table_in_pieces_is_the_table_as_a_whole() {
    for name in ["", "\u{feff}"] {
        let text =
            format!("{name}job;rise_in\r\n\r\n\"a\r\nb\";28,5\r;\n'=x;\"say \"\"so\"\"\"\nlast;1");
        for size in [1, 2, 7, 1000] {
            let found = streamed(text.as_bytes(), None, (size, LIMITS));
            let whole = all(read_csv(text.as_bytes(), None, &LIMITS));
            assert_eq!(found, whole, "pieces of {size}");
        }
    }
}

#[test]
fn an_open_quote_takes_no_other_row_with_it() {
    let found = csv("a,b\n1,2\n3,\"4\n5,6\n7,8\n");
    assert_eq!(found[0..2], ["a|b", "2 1|2"]);
    assert_eq!(found[2], "a quote in row 3 is never closed");
    assert_eq!(found[3..], ["4 5|6", "5 7|8"]);
}

#[test]
fn a_quote_alone_that_stays_open_is_no_blank_row() {
    let found = csv("a,b\n1,2\n\"\n3,4\n");
    assert_eq!(
        found[1..],
        ["2 1|2", "a quote in row 3 is never closed", "4 3|4"]
    );
}

#[test]
fn a_row_that_is_too_long_is_told_and_the_next_follows() {
    let limits = Limits {
        row_bytes: 40,
        ..LIMITS
    };
    let long = "x".repeat(300_000);
    let text = format!(
        "a,b\n1,2\n3,{long}\n5,6\n7,\"open\n{}9,9\n",
        "8,8\n".repeat(20)
    );
    let found = streamed(text.as_bytes(), None, (1000, limits));
    assert!(
        found[2].starts_with("row 3 is longer than 40 bytes"),
        "{found:?}"
    );
    assert_eq!(found[3], "4 5|6");
    assert!(
        found[4].starts_with("row 5 is longer than 40 bytes"),
        "{found:?}"
    );
    assert_eq!(found[5], "6 8|8");
    assert_eq!(found.last().map(String::as_str), Some("26 9|9"));
}

#[test]
fn a_line_that_is_too_long_counts_once_wherever_its_end_is_cut() {
    let limits = Limits {
        row_bytes: 40,
        ..LIMITS
    };
    let ends = ["\n", "\r", "\r\n"];
    for (end, size) in ends
        .iter()
        .flat_map(|end| (1..9).map(move |size| (end, size)))
    {
        let text = format!("a,b{end}{}{end}5,6{end}", "x".repeat(97));
        let found = streamed(text.as_bytes(), None, (size, limits));
        assert_eq!(
            found[2..],
            ["3 5|6"],
            "{end:?} in pieces of {size}: {found:?}"
        );
    }
}

#[test]
fn a_heading_that_is_too_long_is_not_taken_for_its_end() {
    let limits = Limits {
        row_bytes: 40,
        ..LIMITS
    };
    let text = format!("{},b\n1,2\n", "x".repeat(300));
    let whole = all(read_csv(text.as_bytes(), None, &limits));
    assert!(whole[0].starts_with("row 1 is longer than 40 bytes"));
    for size in [3, 7, 1000] {
        assert_eq!(streamed(text.as_bytes(), None, (size, limits)), whole);
    }
}

#[test]
fn a_heading_is_the_same_read_whole_or_in_pieces() {
    for text in [
        "\"\"\"\",\"\"\"\"\na,b\n1,2\n",
        "a,b;\"c\n1,\0\n2,\"x\"\n",
        ";\"\n\";A,B,C\n1,2\n",
        ";\"\nA,B,C\n1,2\n",
        "\"\na,b\n1,2\n",
        "\"\"\u{a0}\na,b\n1,2\n",
    ] {
        let whole = bench::csv(text);
        // Behind an open quote only the streaming reader goes on.
        assert_eq!(csv(text)[..whole.len()], whole, "{text:?}");
    }
}

#[test]
fn a_byte_that_is_no_text_spoils_its_own_row_alone() {
    let found = streamed(b"a,b\n1,\xFF\n3,4\n", None, (5, LIMITS));
    assert!(
        found[1].starts_with("row 2 is not text in UTF-8"),
        "{found:?}"
    );
    assert_eq!(found[2], "3 3|4");
    let latin = streamed(b"a,b\n1,caf\xE9\n", Some("windows-1252"), (1, LIMITS));
    assert_eq!(latin[1], "2 1|café");
}

#[test]
fn wide_text_is_read_by_its_mark() {
    let mut bytes = vec![0xFF, 0xFE];
    for unit in "a,b\n1,é\n".encode_utf16() {
        bytes.extend_from_slice(&unit.to_le_bytes());
    }
    assert_eq!(streamed(&bytes, None, (3, LIMITS)), ["a|b", "2 1|é"]);
}

#[test]
fn the_bounds_of_rows_and_bytes_end_a_stream() {
    let limits = Limits { rows: 2, ..LIMITS };
    let found = streamed(b"a\n1\n2\n3\n", None, (4, limits));
    assert_eq!(found[1..3], ["2 1", "3 2"]);
    assert!(
        found[3].starts_with("there are more than 2 rows"),
        "{found:?}"
    );
    let limits = Limits {
        unfolded_bytes: 10,
        ..LIMITS
    };
    let found = streamed(b"a\n1\n2\n3\n4\n5\n6\n", None, (4, limits));
    assert!(
        found
            .last()
            .is_some_and(|said| said.contains("larger than 10 bytes")),
        "{found:?}"
    );
}

struct Broken;

impl Read for Broken {
    fn read(&mut self, _: &mut [u8]) -> io::Result<usize> {
        Err(io::Error::other("gone"))
    }
}

#[test]
fn a_broken_stream_is_told_apart_from_a_bad_table() {
    let half = b"a,b\n1,2\n3".chain(Broken);
    let mut stream = CsvStream::open(half, None, LIMITS).expect("the heading came");
    assert!(stream.next_record().is_ok_and(|record| record.is_some()));
    assert!(matches!(stream.next_record(), Err(StreamError::Broken(_))));
}

#[test]
fn lines_come_one_by_one_and_a_long_one_is_told() {
    let limits = Limits {
        row_bytes: 10,
        ..LIMITS
    };
    let long = "x".repeat(200_000);
    let text = format!("one\n\n  \n{long}\ntwo\r\nthree");
    let stream = Pieces {
        rest: text.as_bytes(),
        size: 1000,
    };
    let mut lines = LineStream::open(stream, limits).expect("it begins");
    let mut said = Vec::new();
    while let Some(line) = lines.next_line().expect("it goes on") {
        said.push(match line.bytes {
            Ok(bytes) => format!("{} {}", line.number, String::from_utf8_lossy(&bytes).trim()),
            Err(error) => error.to_string(),
        });
    }
    assert_eq!(said.len(), 4, "{said:?}");
    assert_eq!(said[0], "1 one");
    assert!(said[1].starts_with("row 4 is longer"), "{said:?}");
    assert_eq!(said[2..], ["5 two", "6 three"]);
}

proptest! {
    /// Any text gives the rows that it gives when read whole, up to a quote that is never closed.
    #[test]
    fn any_pieces_give_the_same_rows(
        heading in "(a,b\n)?",
        text in "[ab,;\t\" \r\n'=é1\0]{0,80}",
        size in 1_usize..9,
    ) {
        let text = format!("{heading}{text}");
        let whole = bench::csv(&text);
        let found = csv_in(&text, size);
        // Behind an open quote the two go on in their own ways.
        let open = |said: &[String]| said.iter().position(|one| one.contains("never closed"));
        let alike = [&found, &whole].into_iter().filter_map(|said| open(said)).min();
        let alike = alike.unwrap_or(found.len().max(whole.len()));
        prop_assert_eq!(&found[..alike], &whole[..alike]);
    }
}

fn csv_in(text: &str, size: usize) -> Vec<String> {
    streamed(text.as_bytes(), None, (size, LIMITS))
}
