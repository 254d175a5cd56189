//! The sheet as one page of HTML: headings, tables, and the drawing within it.
//!
//! Invariants: no script and nothing fetched; every word is escaped; it prints on one sheet.

use super::block::{Block, Body, Sheet};
use crate::documents::drawing::{escaped, svg_picture};

const STYLE: &str = "\
@page{size:auto;margin:10mm}\
body{font:9pt/1.25 sans-serif;margin:0 auto;max-width:196mm;color:#000;background:#fff}\
h1{font-size:14pt;margin:0}p.about{margin:0 0 1mm}\
main{display:flex;flex-wrap:wrap;justify-content:space-between}\
section{width:100%;margin:0 0 1.5mm;break-inside:avoid}section.narrow{width:49%}\
h2{font-size:9.5pt;margin:0 0 .5mm;border-bottom:.4mm solid #000}\
table{border-collapse:collapse;width:100%;font-size:8pt}\
th,td{text-align:left;vertical-align:top;padding:0 1mm;border-bottom:.1mm solid #888}\
td:not(:last-child){white-space:nowrap}\
table.fill td{border:.1mm solid #000;height:5mm;min-width:6mm}\
ul{margin:0;padding:0;list-style:none}li.check::before{content:'\\2610\\00a0'}\
svg{display:block;margin:0 auto;width:100%;height:auto}\
dl{margin:0;display:grid;grid-template-columns:auto 1fr;gap:0 2mm}dd{margin:0;border-bottom:.1mm solid #000}";

/// The sheet as HTML.
pub fn write_html(sheet: &Sheet) -> String {
    let title = escaped(&sheet.title);
    let blocks: String = sheet.blocks.iter().map(section).collect();
    format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <title>{title}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n<h1>{title}</h1>\n\
         <p class=\"about\">{}</p>\n<main>\n{blocks}</main>\n</body>\n</html>\n",
        escaped(&sheet.subtitle)
    )
}

fn section(block: &Block) -> String {
    let class = if block.wide { "" } else { " class=\"narrow\"" };
    format!(
        "<section{class}>\n<h2>{}</h2>\n{}</section>\n",
        escaped(&block.heading),
        body(&block.body)
    )
}

fn body(body: &Body) -> String {
    match body {
        Body::Table {
            heads,
            rows,
            to_fill,
        } => table(heads, rows, *to_fill),
        Body::Checks(texts) => list(texts, " class=\"check\""),
        Body::Lines(texts) => list(texts, ""),
        Body::Blanks(texts) => {
            let each = |text: &String| format!("<dt>{}</dt><dd></dd>\n", escaped(text));
            format!(
                "<dl>\n{}</dl>\n",
                texts.iter().map(each).collect::<String>()
            )
        }
        Body::Picture(page) => svg_picture(page),
    }
}

fn list(texts: &[String], class: &str) -> String {
    let each = |text: &String| format!("<li{class}>{}</li>\n", escaped(text));
    format!(
        "<ul>\n{}</ul>\n",
        texts.iter().map(each).collect::<String>()
    )
}

fn table(heads: &[String], rows: &[Vec<String>], to_fill: bool) -> String {
    let class = if to_fill { " class=\"fill\"" } else { "" };
    let cells = |cells: &[String], tag: &str, scope: &str| {
        let each = |cell: &String| format!("<{tag}{scope}>{}</{tag}>", escaped(cell));
        cells.iter().map(each).collect::<String>()
    };
    let rows: String = rows
        .iter()
        .map(|row| format!("<tr>{}</tr>\n", cells(row, "td", "")))
        .collect();
    format!(
        "<table{class}>\n<thead><tr>{}</tr></thead>\n<tbody>\n{rows}</tbody>\n</table>\n",
        cells(heads, "th", " scope=\"col\"")
    )
}
