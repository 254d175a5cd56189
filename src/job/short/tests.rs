//! What the table of columns promises to the code that asks for its columns by name.

use super::column::Columns;

#[test]
fn the_embedded_columns_can_be_read() {
    Columns::read(include_str!("columns.toml")).expect("every row parses");
}
