//! A document as HTML that prints: headings, lists, tables, pictures within it.
//!
//! Invariants: no script and nothing fetched; every word is escaped and reads in its own direction; the
//! stamp stands on every printed page. Absent: page breaks, which the printer finds.

use super::part::{
    Document, Letterhead, Panel, Part, Prose, Row, Side, Signature, Span, Sum, Table,
};
use crate::documents::drawing::{escaped, svg_picture};
use std::fmt::Write as _;

const STYLE: &str = include_str!("paper.css");

/// The document as HTML.
pub fn write_document(document: &Document) -> String {
    let mut body = String::new();
    if let Some(stamp) = &document.stamp {
        let _ = writeln!(
            body,
            "<p class=\"stamp\" dir=\"auto\">{}</p>",
            escaped(stamp)
        );
    }
    for part in &document.parts {
        write_part(&mut body, part);
    }
    let title = escaped(&document.title);
    format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <title>{title}</title>\n<style>\n{STYLE}</style>\n</head>\n<body>\n<main>\n{body}\
         <footer dir=\"auto\">{}</footer>\n</main>\n</body>\n</html>\n",
        escaped(&document.foot)
    )
}

// Writing into a string cannot fail.
fn write_part(html: &mut String, part: &Part) {
    match part {
        Part::Letterhead(head) => letterhead(html, head),
        Part::Beside(panels) => beside(html, panels),
        Part::Sum(sum) => sum_box(html, sum),
        Part::Heading(words) => drop(writeln!(html, "<h2 dir=\"auto\">{}</h2>", escaped(words))),
        Part::Paragraph(prose) => drop(writeln!(html, "<p dir=\"auto\">{}</p>", inline(prose))),
        Part::List(points) => {
            html.push_str("<ul>\n");
            for point in points {
                let _ = writeln!(html, "<li dir=\"auto\">{}</li>", inline(point));
            }
            html.push_str("</ul>\n");
        }
        Part::Table(rows) => table(html, rows),
        Part::Columns(parts) => {
            html.push_str("<div class=\"columns\">\n");
            for part in parts {
                write_part(html, part);
            }
            html.push_str("</div>\n");
        }
        Part::Picture(page, words) => {
            let picture = svg_picture(page);
            let words = escaped(words);
            let _ = writeln!(
                html,
                "<figure>\n{picture}<figcaption>{words}</figcaption></figure>"
            );
        }
        Part::Signatures(parties) => signatures(html, parties),
        Part::NewPage => html.push_str("<div class=\"page\"></div>\n"),
    }
}

fn inline(prose: &Prose) -> String {
    let each = |span: &Span| {
        let words = escaped(&span.words);
        if span.bold {
            format!("<strong><bdi>{words}</bdi></strong>")
        } else {
            format!("<bdi>{words}</bdi>")
        }
    };
    prose.0.iter().map(each).collect::<Vec<_>>().join(" ")
}

fn letterhead(html: &mut String, head: &Letterhead) {
    html.push_str("<header>\n");
    if let Some(logo) = &head.logo {
        let name = escaped(&head.name);
        let _ = writeln!(html, "<img src=\"{}\" alt=\"{name}\">", logo.as_address());
    }
    let _ = writeln!(
        html,
        "<div class=\"from\"><p class=\"name\" dir=\"auto\">{}</p>",
        escaped(&head.name)
    );
    for line in &head.lines {
        let _ = writeln!(html, "<p dir=\"auto\">{}</p>", escaped(line));
    }
    let _ = writeln!(
        html,
        "</div>\n<div class=\"what\"><h1>{}</h1>\n<dl>",
        escaped(&head.kind)
    );
    for (name, fact) in &head.facts {
        let (name, fact) = (escaped(name), escaped(fact));
        let _ = writeln!(html, "<dt>{name}</dt><dd dir=\"auto\">{fact}</dd>");
    }
    html.push_str("</dl></div>\n</header>\n");
}

fn beside(html: &mut String, panels: &[Panel]) {
    html.push_str("<div class=\"beside\">\n");
    for panel in panels {
        let _ = writeln!(
            html,
            "<div><h3 dir=\"auto\">{}</h3>",
            escaped(&panel.heading)
        );
        for line in &panel.lines {
            let _ = writeln!(html, "<p dir=\"auto\">{}</p>", inline(line));
        }
        html.push_str("</div>\n");
    }
    html.push_str("</div>\n");
}

fn sum_box(html: &mut String, sum: &Sum) {
    let (name, figures) = (escaped(&sum.name), escaped(&sum.figures));
    let _ = writeln!(
        html,
        "<div class=\"sum\"><p class=\"line\"><strong>{name}</strong> <strong class=\"figures\">{figures}</strong></p>"
    );
    for words in &sum.words {
        let _ = writeln!(html, "<p dir=\"auto\">{}</p>", inline(words));
    }
    html.push_str("</div>\n");
}

fn table(html: &mut String, table: &Table) {
    html.push_str("<table>\n");
    if table.columns.iter().any(|(head, _)| !head.is_empty()) {
        html.push_str("<thead><tr>");
        for (head, side) in &table.columns {
            let _ = write!(
                html,
                "<th scope=\"col\"{}>{}</th>",
                class(*side),
                escaped(head)
            );
        }
        html.push_str("</tr></thead>\n");
    }
    html.push_str("<tbody>\n");
    for row in &table.rows {
        table_row(html, table, row);
    }
    html.push_str("</tbody>\n</table>\n");
}

fn table_row(html: &mut String, table: &Table, row: &Row) {
    html.push_str(if row.is_sum {
        "<tr class=\"total\">"
    } else {
        "<tr>"
    });
    for (cell, (_, side)) in row.cells.iter().zip(&table.columns) {
        let _ = write!(
            html,
            "<td dir=\"auto\"{}>{}</td>",
            class(*side),
            escaped(cell)
        );
    }
    html.push_str("</tr>\n");
}

const fn class(side: Side) -> &'static str {
    match side {
        Side::Left => "",
        Side::Right => " class=\"right\"",
    }
}

fn signatures(html: &mut String, parties: &[Signature]) {
    html.push_str("<div class=\"beside signed\">\n");
    for party in parties {
        let _ = writeln!(
            html,
            "<div><p dir=\"auto\"><strong>{}</strong></p><dl>",
            escaped(&party.party)
        );
        for line in &party.lines {
            let _ = writeln!(html, "<dt>{}</dt><dd></dd>", escaped(line));
        }
        html.push_str("</dl></div>\n");
    }
    html.push_str("</div>\n");
}
