//! `GET /v1/price-books/{book}/export`: a table of the book, as it is imported.
//!
//! Invariant: what is exported and imported again changes nothing. Absent: what stands in the
//! columns, which `book::table` knows.

use super::table::ExportQuery;
use super::{ApiError, Problem, Today, etag};
use crate::book::Books;
use crate::book::table::{Kind, Written, write_rows};
use crate::catalog::PriceList;
use crate::http::format::{Format, choose_format};
use crate::sheet::{Cell, CsvWriter, Dialect, write_xlsx};
use actix_web::http::header;
use actix_web::web::{Data, Path, Query};
use actix_web::{HttpRequest, HttpResponse, get};

/// A table of a price book
///
/// The same file can be imported again and changes nothing. Prices as known at the revision, of
/// every day; only what the book itself holds, not what it inherits.
#[utoipa::path(
    tag = "price books",
    operation_id = "export_table",
    params(("book" = String, Path, description = "Code of the book.", example = "demo"), ExportQuery),
    responses(
        (status = 200, description = "The table.", content(
            (String = "text/csv"),
            (Vec<u8> = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"),
        ), headers(("ETag" = String, description = "The revision that was read, quoted."))),
        (status = 400, description = "The query cannot be read.", body = Problem, content_type = "application/problem+json"),
        (status = 404, description = "There is no such book or revision.", body = Problem, content_type = "application/problem+json"),
        (status = 406, description = "None of the accepted formats can be given.", body = Problem, content_type = "application/problem+json"),
    ),
)]
#[get("/v1/price-books/{book}/export")]
pub(in crate::http) async fn get_export(
    request: HttpRequest,
    (books, today): (Data<Books>, Data<Today>),
    book: Path<String>,
    query: Query<ExportQuery>,
) -> Result<HttpResponse, ApiError> {
    let (table, dialect) = (query.table()?, query.dialect()?);
    let offered = [Format::Csv, Format::Xlsx];
    let format = choose_format(query.format.as_deref(), request.headers(), &offered)?;
    let list = books.price_list(Some(&book), query.revision, today.date())?;
    let (revision, bom) = (list.revision(), query.bom.unwrap_or(false));
    let wanted = Wanted {
        table,
        format,
        dialect,
        bom,
    };
    let bytes = actix_web::web::block(move || wanted.write(&list)).await;
    let bytes = bytes.map_err(ApiError::internal)??;
    let name = format!("{book}-{table}-{revision}.{}", format.name());
    Ok(HttpResponse::Ok()
        .content_type(format.content_type())
        .insert_header((header::ETAG, etag(revision)))
        .insert_header((header::VARY, "Accept"))
        .insert_header((
            header::CONTENT_DISPOSITION,
            format!("attachment; filename=\"{name}\""),
        ))
        .body(bytes))
}

/// What is written.
#[derive(Clone, Copy)]
struct Wanted {
    table: Kind,
    format: Format,
    dialect: Dialect,
    bom: bool,
}

impl Wanted {
    fn write(self, list: &PriceList) -> Result<Vec<u8>, ApiError> {
        let rows = write_rows(self.table, list);
        let heading: Vec<&str> = self
            .table
            .columns()
            .iter()
            .map(|column| column.name)
            .collect();
        if self.format == Format::Xlsx {
            let rows = rows.iter().map(|row| row.iter().map(cell).collect());
            // The day of the file is that of the revision, so that equal content gives equal bytes.
            let made = list.history().revisions().iter();
            let made = made.rev().find(|made| made.number == list.revision());
            let day = made.map_or(list.as_of(), |made| made.made_at.date_naive());
            return Ok(write_xlsx(self.table.word(), day, &heading, rows)?);
        }
        let start = if self.bom { "\u{feff}" } else { "" };
        let mut writer = CsvWriter::new(start.as_bytes().to_vec(), self.dialect);
        let heading: Vec<Cell<'_>> = heading.into_iter().map(Cell::Text).collect();
        writer.write(&heading).map_err(ApiError::internal)?;
        for row in &rows {
            let cells: Vec<Cell<'_>> = row.iter().map(cell).collect();
            writer.write(&cells).map_err(ApiError::internal)?;
        }
        writer.finish().map_err(ApiError::internal)
    }
}

fn cell(written: &Written) -> Cell<'_> {
    match written {
        Written::Text(text) => Cell::Text(text),
        Written::Number(number) => Cell::Number(number),
        Written::Blank => Cell::Empty,
    }
}
