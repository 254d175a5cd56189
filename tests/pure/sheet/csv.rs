//! CSV texts against RFC 4180, section 2, and against what is not one.

use super::bench::{LIMITS, csv, csv_file, told};
use crossfall::sheet::{Cell, CsvWriter, Delimiter, Dialect, Limits, SheetError, read_csv};

/// RFC 4180, section 2, rules 1 to 4: a line each, an end of line after the last or not, a heading,
/// blanks are part of a field (and trimmed here, by our own rule).
#[test]
fn lines_are_rows_below_a_heading() {
    let wanted = ["aaa|bbb|ccc", "2 zzz|yyy|xxx"];
    assert_eq!(csv("aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n"), wanted);
    assert_eq!(csv("aaa,bbb,ccc\r\nzzz,yyy,xxx"), wanted);
    assert_eq!(csv("aaa, bbb,ccc\r\nzzz,yyy ,\u{a0}xxx\t"), wanted);
}

/// RFC 4180, section 2, rules 5 to 7: quotes round a field, around line ends, commas and quotes,
/// which are doubled.
#[test]
fn quoted_cells_may_hold_anything() {
    let told = csv("\"aaa\",\"b\"\"bb\",\"c\r\ncc\"\r\n\"z,z\",\"\",\"\"\"\"\r\n");
    assert_eq!(told, ["aaa|b\"bb|c\r\ncc", "2 z,z||\""]);
}

#[test]
fn an_inch_mark_inside_a_cell_is_text() {
    let told = csv("code,note\nPLY,3/4\" thick\nBAR,\"1/2\"\" round\" \n");
    assert_eq!(
        told,
        ["code|note", "2 PLY|3/4\" thick", "3 BAR|1/2\" round"]
    );
}

#[test]
fn a_number_counts_rows_as_a_spreadsheet_does() {
    let told = csv("\n,\na,b\n\"1\n2\",x\n\n , \ny\n");
    assert_eq!(told, ["a|b", "4 1\n2|x", "7 y|"]);
}

#[test]
fn every_end_of_line_gives_the_same_rows() {
    for (name, end) in [("crlf.csv", "\r\n"), ("lf.csv", "\n"), ("cr.csv", "\r")] {
        let two = format!("2 GRÖSSE|12,5|zwei{end}Zeilen, \"so\"");
        let wanted = ["Code|Preis|Notiz", two.as_str(), "4 REST|-3|"];
        assert_eq!(csv_file(name), wanted, "{name}");
    }
}

#[test]
fn the_delimiter_is_the_one_that_stands_most_in_the_heading() {
    let cases = [
        ("a,b;c,d\n", Delimiter::Comma),
        ("a,b;c\n;;;;;;\n", Delimiter::Comma),
        ("a;b;c,d\n,,,,,\n", Delimiter::Semicolon),
        ("\n;;;;\na,b\n", Delimiter::Comma),
        ("a\tb\tc;d\n", Delimiter::Tab),
        ("\"a;b;c\",d\n", Delimiter::Comma),
        ("\"a,b,c\";d\n", Delimiter::Semicolon),
        ("\"a,\n,\";d\n", Delimiter::Semicolon),
        ("a\n", Delimiter::Comma),
    ];
    for (text, delimiter) in cases {
        let table = read_csv(text.as_bytes(), None, &LIMITS).expect("a heading");
        assert_eq!(table.dialect, Dialect { delimiter }, "{text:?}");
    }
}

#[test]
fn a_bad_row_is_its_own_error_and_the_next_one_follows() {
    let limits = Limits {
        row_bytes: 9,
        ..LIMITS
    };
    let text = "a,b\n1,2,3\n4,\"5\"6\n7,8,\n0123456789,\n9,9\n";
    let table = read_csv(text.as_bytes(), None, &limits).expect("a heading");
    let wanted = [
        "row 2 has more cells than the heading's 2: is a mark unquoted in it?",
        "row 3 has text after a closing quote: double each quote inside a quoted cell",
        "4 7|8",
        "row 5 is longer than 9 bytes; in a CSV file, look for a quote left open",
        "6 9|9",
    ];
    assert_eq!(told(table.rows()), wanted);
}

#[test]
fn an_open_quote_ends_the_rows() {
    let told = csv("a,b\n1,2\n3,\"4\n5,6\n");
    assert_eq!(told, ["a|b", "2 1|2", "a quote in row 3 is never closed"]);
}

#[test]
fn rows_are_counted_and_blank_ones_are_not() {
    let limits = Limits { rows: 2, ..LIMITS };
    let rows = |text: &'static str| {
        let table = read_csv(text.as_bytes(), None, &limits).expect("a heading");
        told(table.rows())
    };
    assert_eq!(rows("a\n\n1\n\n2\n\n"), ["3 1", "5 2"]);
    let more = "there are more than 2 rows: send them in parts";
    assert_eq!(rows("a\n1\n2\n3\n4\n"), ["2 1", "3 2", more]);
}

#[test]
fn a_heading_names_each_column_once() {
    let fault = |text: &'static str| {
        let limits = Limits {
            columns: 3,
            ..LIMITS
        };
        read_csv(text.as_bytes(), None, &limits).expect_err("it is refused")
    };
    assert_eq!(fault(""), SheetError::NoHeading);
    assert_eq!(fault("\n , \n\"\"\n"), SheetError::NoHeading);
    let name = "unitprice".to_owned();
    assert_eq!(
        fault("Unit price,unitprice"),
        SheetError::NameTwice { name }
    );
    let (found, limit) = (4, 3);
    assert_eq!(fault("a,b,,d"), SheetError::TooManyColumns { found, limit });
    assert_eq!(fault("a,\"b\n"), SheetError::QuoteOpen { row: 1 });
}

#[test]
fn a_column_is_found_by_its_name_whatever_its_capitals() {
    let table = read_csv(b" Unit  Price,,CODE,\xc3\x84,,\n", None, &LIMITS).expect("a heading");
    let heading = &table.heading;
    assert_eq!(heading.names(), ["Unit  Price", "", "CODE", "Ä"]);
    assert_eq!(heading.find("unit price"), Some(0));
    assert_eq!(heading.find("code"), Some(2));
    assert_eq!(heading.find("ä"), Some(3));
    assert_eq!(heading.find("unit"), None);
    assert_eq!(heading.find(""), None);
    assert_eq!(heading.find(" "), None);
}

fn written(cells: &[Cell<'_>], delimiter: Delimiter) -> String {
    let mut writer = CsvWriter::new(Vec::new(), Dialect { delimiter });
    writer.write(cells).expect("memory takes it");
    let bytes = writer.finish().expect("memory takes it");
    String::from_utf8(bytes).expect("UTF-8")
}

#[test]
fn a_text_that_would_run_as_a_formula_gets_an_apostrophe() {
    let cases = [
        ("=1+1", "'=1+1"),
        ("+cmd", "'+cmd"),
        ("-1+1", "'-1+1"),
        ("@SUM", "'@SUM"),
        ("\tx", "'\tx"),
        ("\rx", "\"'\rx\""),
        ("-12.5", "-12.5"),
        ("+3", "+3"),
        ("-", "'-"),
        ("-.", "'-."),
        ("-1.2.3", "'-1.2.3"),
        ("a=b", "a=b"),
        ("'tis", "'tis"),
        ("'=1", "''=1"),
    ];
    for (text, wanted) in cases {
        let line = written(&[Cell::Text(text)], Delimiter::Comma);
        assert_eq!(line, format!("{wanted}\r\n"), "{text:?}");
    }
    // What is said to be a number and is none is a text.
    let line = written(&[Cell::Number("=1"), Cell::Number("x")], Delimiter::Comma);
    assert_eq!(line, "'=1,x\r\n");
}

#[test]
fn one_such_apostrophe_is_taken_off_again() {
    let told = csv("a,'=b\n'=1,'@x\n'tis,'-\n'5,''=1\n\"'\tx\",'\n");
    let wanted = ["a|=b", "2 =1|@x", "3 'tis|-", "4 '5|'=1", "5 \tx|'"];
    assert_eq!(told, wanted);
}

#[test]
fn numbers_are_written_with_the_mark_of_their_dialect() {
    let cells = [
        Cell::Text("a"),
        Cell::Number("-12.50"),
        Cell::Empty,
        Cell::Text("1.5"),
    ];
    assert_eq!(written(&cells, Delimiter::Comma), "a,-12.50,,1.5\r\n");
    assert_eq!(written(&cells, Delimiter::Semicolon), "a;-12,50;;1.5\r\n");
    assert_eq!(written(&cells, Delimiter::Tab), "a\t-12.50\t\t1.5\r\n");
}

/// RFC 4180, section 2, rules 6 and 7.
#[test]
fn cells_are_quoted_where_they_have_to_be() {
    let cells = [
        Cell::Text("a,b"),
        Cell::Text("c;d"),
        Cell::Text("e\"f"),
        Cell::Text("g\nh"),
    ];
    let line = written(&cells, Delimiter::Comma);
    assert_eq!(line, "\"a,b\",c;d,\"e\"\"f\",\"g\nh\"\r\n");
}
