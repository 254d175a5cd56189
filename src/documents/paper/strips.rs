//! Parts as strips of a column's width.
//!
//! Invariant: what a part holds stands in its strips, in its order. Absent: pages.

use super::atom::{Atom, LETTERS, LINE, anchored, paragraph, text};
use super::part::{Letterhead, Panel, Part, Prose, Signature, Sum};
use super::table::table;
use super::words::{broken, broken_plain};
use crate::documents::drawing::{
    Anchor, Item, Page, Pen, Spot, Tone, drawable, shortened, width_of,
};

/// Free paper above a heading, in millimetres.
const ABOVE: f64 = 2.6;
/// Height of the letters of a heading.
const HEADING: f64 = 3.2;
/// How far the words of a list stand in.
const INDENT: f64 = 3.0;
/// Between columns that stand beside each other.
pub(super) const GUTTER: f64 = 6.0;
/// Largest room of a logo.
const LOGO: (f64, f64) = (42.0, 20.0);

/// The strips of a part, for a column of a width.
pub(super) fn strips(part: &Part, width: f64) -> Vec<Atom> {
    match part {
        Part::Letterhead(head) => vec![letterhead(head, width)],
        Part::Beside(panels) => vec![beside(panels, width)],
        Part::Sum(sum) => vec![sum_box(sum, width)],
        Part::Heading(words) => vec![heading(words, width)],
        Part::Paragraph(prose) => sentences(prose, width),
        Part::List(points) => list(points, width),
        Part::Table(rows) => table(rows, width),
        Part::Picture(page, words) => picture(page, words, width),
        Part::Signatures(parties) => vec![signatures(parties, width)],
        // Two columns and a new page are matters of the page.
        Part::Columns(_) | Part::NewPage => Vec::new(),
    }
}

fn heading(words: &str, width: f64) -> Atom {
    let lines = broken_plain(words, (HEADING, true), width);
    let mut atom = Atom {
        height: 4.2 * lines.len() as f64 + 0.6,
        above: ABOVE,
        stays: true,
        ..Atom::default()
    };
    for (n, line) in lines.iter().enumerate() {
        let at = Spot::new(0.0, 4.2 * n as f64 + 3.1);
        atom.items.push(text(at, line, (HEADING, true)));
    }
    atom.rule(atom.height - 0.4, width, Pen::Thin);
    atom
}

/// A paragraph; one that announces what follows stays with it.
fn sentences(prose: &Prose, width: f64) -> Vec<Atom> {
    let mut atoms = paragraph(&broken(prose, LETTERS, width), 0.0, 0.8);
    if let Some(last) = atoms.last_mut() {
        last.stays = prose.words().ends_with(':');
    }
    atoms
}

fn list(points: &[Prose], width: f64) -> Vec<Atom> {
    let mut atoms: Vec<Atom> = points
        .iter()
        .flat_map(|point| listed(point, width))
        .collect();
    if let Some(first) = atoms.first_mut() {
        first.above = 1.0;
    }
    atoms
}

fn listed(point: &Prose, width: f64) -> Vec<Atom> {
    let lines = broken(point, LETTERS, width - INDENT);
    let mut atoms = paragraph(&lines, INDENT, 0.35);
    if let Some(first) = atoms.first_mut() {
        let at = Spot::new(1.0, LINE - 1.85);
        let (radius, tone) = (0.42, Tone::Ink);
        first.items.push(Item::Dot { at, radius, tone });
    }
    atoms
}

fn letterhead(head: &Letterhead, width: f64) -> Atom {
    let mut atom = Atom::default();
    let mut x = 0.0;
    let mut logo_bottom = 0.0;
    if let Some(logo) = &head.logo {
        let size = logo.fitted(LOGO);
        let (at, bitmap) = (Spot::new(0.0, 0.0), logo.clone());
        atom.items.push(Item::Bitmap { at, size, bitmap });
        x = size.0 + 4.0;
        logo_bottom = size.1;
    }
    let from = width * 0.64;
    let mut y = 1.0;
    for line in broken_plain(&head.name, (5.4, true), from - x - 4.0) {
        y += 5.6;
        atom.items
            .push(text(Spot::new(x, y - 0.8), &line, (5.4, true)));
    }
    y += 0.8;
    for line in &head.lines {
        for line in broken(&line.as_str().into(), LETTERS, from - x - 4.0) {
            y += LINE;
            atom.add_line(&line, x, y);
        }
    }
    let right = kind_and_facts(&mut atom, head, (from, width));
    atom.height = y.max(right).max(logo_bottom) + 2.4;
    atom.rule(atom.height, width, Pen::Outline);
    atom
}

/// What kind of paper it is, with its facts under it; where they end.
fn kind_and_facts(atom: &mut Atom, head: &Letterhead, (from, width): (f64, f64)) -> f64 {
    let kind = shortened(&drawable(&head.kind), (6.4, true), width - from);
    atom.items.push(anchored(
        Spot::new(width, 6.0),
        &kind,
        (6.4, true),
        Anchor::End,
    ));
    let mut y = 8.2;
    for (name, fact) in &head.facts {
        let name_width = width_of(&drawable(name), LETTERS, false);
        let room = width - from - name_width - 3.0;
        for (n, line) in broken_plain(fact, (LETTERS, true), room).iter().enumerate() {
            y += LINE;
            if n == 0 {
                atom.items.push(text(
                    Spot::new(from, y - 0.9),
                    &drawable(name),
                    (LETTERS, false),
                ));
            }
            atom.items.push(anchored(
                Spot::new(width, y - 0.9),
                line,
                (LETTERS, true),
                Anchor::End,
            ));
        }
    }
    y
}

fn beside(panels: &[Panel], width: f64) -> Atom {
    let count = panels.len().max(1) as f64;
    let each = (width - GUTTER * (count - 1.0)) / count;
    let mut atom = Atom {
        above: 2.4,
        ..Atom::default()
    };
    for (n, panel) in panels.iter().enumerate() {
        let x = (each + GUTTER) * n as f64;
        let name = shortened(&drawable(&panel.heading), (2.5, true), each);
        atom.items.push(text(Spot::new(x, 2.6), &name, (2.5, true)));
        let mut y = 3.4;
        for line in panel
            .lines
            .iter()
            .flat_map(|line| broken(line, LETTERS, each))
        {
            y += LINE;
            atom.add_line(&line, x, y);
        }
        atom.height = atom.height.max(y + 0.6);
    }
    atom
}

fn sum_box(sum: &Sum, width: f64) -> Atom {
    let inset = 3.0;
    let figures_width = width_of(&drawable(&sum.figures), 6.4, true);
    let name = shortened(
        &drawable(&sum.name),
        (4.2, true),
        width - figures_width - inset * 3.0,
    );
    let mut atom = Atom {
        above: 2.6,
        ..Atom::default()
    };
    atom.items
        .push(text(Spot::new(inset, 7.0), &name, (4.2, true)));
    let end = Spot::new(width - inset, 7.2);
    atom.items.push(anchored(
        end,
        &drawable(&sum.figures),
        (6.4, true),
        Anchor::End,
    ));
    let mut y = 8.6;
    for line in sum
        .words
        .iter()
        .flat_map(|words| broken(words, LETTERS, width - inset * 2.0))
    {
        y += LINE;
        atom.add_line(&line, inset, y);
    }
    atom.height = y + 2.2;
    atom.shade(width, Tone::Light);
    atom
}

fn picture(page: &Page, words: &str, width: f64) -> Vec<Atom> {
    let x = (width - page.width) / 2.0;
    let drawn = Atom {
        height: page.height,
        items: page.items.iter().map(|item| item.moved(x, 0.0)).collect(),
        above: 4.0,
        stays: !words.is_empty(),
        ..Atom::default()
    };
    let under = broken(&words.into(), LETTERS, width);
    std::iter::once(drawn)
        .chain(
            paragraph(&under, 0.0, 0.6)
                .into_iter()
                .filter(|_| !words.is_empty()),
        )
        .collect()
}

fn signatures(parties: &[Signature], width: f64) -> Atom {
    let count = parties.len().max(1) as f64;
    let each = (width - GUTTER * (count - 1.0)) / count;
    let mut atom = Atom {
        above: 3.0,
        ..Atom::default()
    };
    for (n, party) in parties.iter().enumerate() {
        let x = (each + GUTTER) * n as f64;
        let mut y = 0.0;
        for line in broken_plain(&party.party, (LETTERS, true), each) {
            y += LINE;
            atom.items
                .push(text(Spot::new(x, y - 0.9), &line, (LETTERS, true)));
        }
        for name in &party.lines {
            y += 8.4;
            let name = shortened(&drawable(name), (LETTERS, false), each * 0.6);
            atom.items
                .push(text(Spot::new(x, y - 0.8), &name, (LETTERS, false)));
            let from = x + width_of(&name, LETTERS, false) + 1.5;
            let through = vec![Spot::new(from, y), Spot::new(x + each, y)];
            let pen = Pen::Thin;
            atom.items.push(Item::Line { through, pen });
        }
        atom.height = atom.height.max(y + 1.5);
    }
    atom
}
