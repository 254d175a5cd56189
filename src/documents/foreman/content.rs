//! The blocks of a job's sheet.

use super::block::{Block, Body, Sheet};
use crate::documents::drawing::{Page, Subject, Title};
use crate::estimate::Estimate;
use crate::geometry::{Across, Grade, GradedStation, Mark, SurfaceKind};
use crate::quantity::shown::Yd3M3;
use crate::quantity::{Length, System, ceil};
use crate::takeoff::{BarMark, BarWay};
use serde::Deserialize;
use std::sync::LazyLock;

/// How much of the long tables is told, the most first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Told {
    /// Everything.
    All,
    /// Creases, joints and ends of the grade sheet.
    NoSteps,
    /// Creases and ends.
    NoJoints,
    /// So many rows of each table.
    Rows(usize),
}

impl Told {
    /// From the most to the least.
    pub const ALL: [Self; 6] = [
        Self::All,
        Self::NoSteps,
        Self::NoJoints,
        Self::Rows(12),
        Self::Rows(7),
        Self::Rows(3),
    ];

    fn keeps(self, mark: Mark) -> bool {
        match self {
            Self::All => true,
            Self::NoSteps => mark != Mark::Step,
            Self::NoJoints | Self::Rows(_) => matches!(mark, Mark::End | Mark::Crease),
        }
    }

    const fn rows(self) -> usize {
        match self {
            Self::Rows(rows) => rows,
            _ => usize::MAX,
        }
    }

    /// What is delivered is the first to be cut short: the office has the list.
    fn deliveries(self) -> usize {
        match self {
            Self::All => 12,
            Self::NoSteps => 9,
            _ => self.rows().min(7),
        }
    }
}

/// Words of the sheet that are the same for every job.
#[derive(Debug, Deserialize)]
struct Words {
    hold_point: Vec<Word>,
    call: Vec<Word>,
}

#[derive(Debug, Deserialize)]
struct Word {
    text: String,
}

static WORDS: LazyLock<Words> = LazyLock::new(|| {
    toml::from_str(include_str!("words.toml")).expect("the embedded words are read by a test")
});

/// Level with which the poured ramp is walked, and what it is called.
///
/// # Source
/// The 24-in level of US polling-place checklists (read); its metric round length is common practice.
const fn level(system: System) -> (Length, &'static str) {
    match system {
        System::Us => (Length::from_inches(24.0), "24-in"),
        System::Metric => (Length::from_millimetres(600.0), "600-mm"),
    }
}

/// The sheet of a job.
pub fn write_sheet(
    estimate: &Estimate,
    (subject, section): (&Subject<'_>, Option<&Page>),
    (title, told): (&Title, Told),
) -> Sheet {
    let writer = Writer {
        estimate,
        subject,
        told,
        system: title.system,
    };
    let texts = |words: &[Word]| words.iter().map(|word| word.text.clone()).collect();
    let here = ["Address and gate", "Weather looked up, by whom", "Plant"].map(str::to_owned);
    let mut blocks = vec![
        Block::narrow("On site", Body::Blanks(here.to_vec())),
        Block::narrow("Whom to call", Body::Blanks(texts(&WORDS.call))),
        Block::narrow("Who does what", writer.days()),
        Block::narrow("Concrete and deliveries", writer.orders()),
    ];
    let picture = section.map(|page| Body::Picture(Box::new(page.clone())));
    blocks.extend(picture.map(|picture| Block::wide("Typical section", picture)));
    blocks.push(Block::wide("Grades", writer.grades()));
    blocks.push(Block::narrow("Bars", writer.bars()));
    blocks.push(Block::narrow(
        "Hold points: tick before going on",
        Body::Checks(texts(&WORDS.hold_point)),
    ));
    blocks.push(Block::wide(&writer.readings_heading(), writer.readings()));
    blocks.push(Block::wide("Cautions", writer.cautions()));
    let name = if title.job.is_empty() {
        "Ramp without a name"
    } else {
        &title.job
    };
    Sheet {
        title: name.to_owned(),
        subtitle: format!("Foreman sheet, {}, crossfall {}", title.day, title.version),
        blocks,
    }
}

struct Writer<'a> {
    estimate: &'a Estimate,
    subject: &'a Subject<'a>,
    told: Told,
    system: System,
}

impl Writer<'_> {
    /// A table of at most so many rows; the last says how many are not told.
    fn table(heads: &[&str], mut rows: Vec<Vec<String>>, (most, elsewhere): (usize, &str)) -> Body {
        if rows.len() > most {
            let left = rows.len() - most;
            rows.truncate(most);
            let mut last = vec![String::new(); heads.len()];
            last[0] = format!("+ {left}");
            if let Some(cell) = last.last_mut() {
                elsewhere.clone_into(cell);
            }
            rows.push(last);
        }
        Body::Table {
            heads: heads.iter().map(|head| (*head).to_owned()).collect(),
            rows,
            to_fill: false,
        }
    }

    fn days(&self) -> Body {
        let visits = self.estimate.hours.visits.iter();
        let rows = visits.map(|visit| {
            let day = visit
                .date
                .map_or_else(|| format!("day {}", visit.day), |date| date.to_string());
            vec![
                day,
                visit.people.to_string(),
                format!("{} h", visit.on_site.hours()),
                visit.description.clone(),
            ]
        });
        Self::table(
            &["day", "people", "each", "what"],
            rows.collect(),
            (self.told.rows(), "in the estimate"),
        )
    }

    /// Concrete first, with its loads; then what else must be there.
    fn orders(&self) -> Body {
        let order = &self.estimate.takeoff.concrete;
        let show = |volume| Yd3M3::of(volume, self.system).shown().to_string();
        let mut rows = Vec::new();
        if !order.order.is_zero() {
            let loads: Vec<String> = order.loads.iter().map(|load| show(*load)).collect();
            let in_loads = match loads.len() {
                0 => String::new(),
                1 => ", one load".to_owned(),
                _ => format!(", in loads of {}", loads.join(", ")),
            };
            rows.push(vec![
                "concrete".to_owned(),
                format!("{}{in_loads}", show(order.order)),
            ]);
            let minutes = ceil(order.unload_minutes_needed.hours() * 60.0);
            rows.push(vec![
                "truck".to_owned(),
                format!("at ____ ; unloading takes {minutes} min"),
            ]);
        }
        // The concrete stands above, with its loads.
        let mix = self.estimate.takeoff.mix().map(|line| line.code.as_str());
        let goods = self.estimate.to_order.iter();
        let goods = goods.filter(|good| !good.from_stock && mix != Some(good.code.as_str()));
        rows.extend(goods.map(|good| {
            let number = good.order.number();
            vec![
                format!("visit {}", good.visit),
                format!("{number} {}: {}", good.unit, good.description),
            ]
        }));
        Self::table(
            &["when", "what"],
            rows,
            (self.told.deliveries(), "more in the estimate"),
        )
    }

    fn grades(&self) -> Body {
        let heads = [
            "piece",
            "at",
            "along",
            "left",
            "middle",
            "right",
            "form left",
            "form right",
            "dig to",
            "rod at middle",
        ];
        let pieces = self.subject.grades.pieces.iter();
        let rows = pieces.flat_map(|piece| {
            let stations = piece
                .stations
                .iter()
                .filter(|station| self.told.keeps(station.mark));
            stations.map(|station| self.grade_row(&self.subject_name(piece.piece), station))
        });
        Self::table(&heads, rows.collect(), (self.told.rows(), "grade sheet"))
    }

    fn subject_name(&self, piece: usize) -> String {
        match self.subject.geometry.surfaces[piece].kind {
            SurfaceKind::Landing => format!("landing {piece}"),
            SurfaceKind::Run => format!("run {piece}"),
        }
    }

    fn grade_row(&self, name: &str, station: &GradedStation) -> Vec<String> {
        let point = |across: Across| station.points.iter().find(|point| point.across == across);
        let tape =
            |length: Option<Length>| length.map_or_else(|| "-".to_owned(), |l| l.tape(self.system));
        let at = |across: Across, of: fn(&crate::geometry::GradedPoint) -> Option<Grade>| {
            tape(point(across).and_then(of).map(|grade| grade.elevation))
        };
        vec![
            name.to_owned(),
            station.mark.as_str().to_owned(),
            station.along.tape(self.system),
            at(Across::Left, |point| Some(point.finish)),
            at(Across::Centre, |point| Some(point.finish)),
            at(Across::Right, |point| Some(point.finish)),
            at(Across::Left, |point| point.form_top),
            at(Across::Right, |point| point.form_top),
            at(Across::Centre, |point| {
                point.stone_bottom.or(point.slab_bottom)
            }),
            tape(point(Across::Centre).and_then(|point| point.finish.rod)),
        ]
    }

    fn bars(&self) -> Body {
        let marks = self.estimate.takeoff.bar_marks.iter();
        let rows = marks.map(|mark| {
            let way = match mark.way {
                BarWay::Along => "along",
                BarWay::Across => "across",
            };
            vec![
                mark.mark.clone(),
                mark.count.to_string(),
                mark.bar.as_str().to_owned(),
                mark.length.tape(self.system),
                format!("{way}, {} {}", self.place_of(mark), laps(mark.laps)),
            ]
        });
        Self::table(
            &["mark", "bars", "size", "each", "where"],
            rows.collect(),
            (self.told.rows(), "takeoff"),
        )
    }

    fn place_of(&self, mark: &BarMark) -> String {
        let around = self.subject.geometry.solids.iter();
        let mut around = around.filter(|solid| solid.of == mark.of);
        match (mark.pieces, around.next()) {
            (Some((piece, _)), _) => self.subject_name(piece),
            (None, Some(solid)) => solid.name.clone(),
            (None, None) => mark.of.clone(),
        }
    }

    fn readings_heading(&self) -> String {
        let (_, level) = level(self.system);
        format!(
            "After the pour: a {level} level walked up each run, percent or gap, from the lower crease"
        )
    }

    /// Boxes to fill in, one a length of the level, in walking order.
    fn readings(&self) -> Body {
        const MOST: f64 = 20.0;
        let surfaces = self.subject.geometry.surfaces.iter().enumerate();
        let runs: Vec<(usize, f64)> = surfaces
            .filter(|(_, surface)| surface.kind == SurfaceKind::Run)
            .map(|(piece, surface)| (piece, ceil(surface.plan_length / level(self.system).0)))
            .collect();
        let most = runs.iter().map(|run| run.1).fold(1.0, f64::max).min(MOST) as usize;
        let numbers = (1..=most).map(|n| n.to_string());
        let heads: Vec<String> = std::iter::once("run".to_owned()).chain(numbers).collect();
        let boxes = |count: f64| {
            let open = count as usize;
            (0..most).map(move |n| {
                if n < open {
                    String::new()
                } else {
                    "-".to_owned()
                }
            })
        };
        let rows = runs
            .into_iter()
            .take(self.told.rows())
            .map(|(piece, count)| {
                std::iter::once(format!("run {piece}"))
                    .chain(boxes(count))
                    .collect()
            });
        Body::Table {
            heads,
            rows: rows.collect(),
            to_fill: true,
        }
    }

    /// Those that are for the site; what concerns prices and the choice of goods is for the office.
    fn cautions(&self) -> Body {
        const FOR_THE_SITE: [&str; 7] = [
            "code",
            "silica",
            "wet_concrete",
            "bars",
            "lifting",
            "washout",
            "locate",
        ];
        let cautions = self.estimate.cautions.iter();
        let kept = cautions.filter(|caution| FOR_THE_SITE.contains(&caution.kind.as_str()));
        let texts: Vec<&str> = kept.map(|caution| caution.text.as_str()).collect();
        Body::Lines(vec![texts.join(" ")])
    }
}

fn laps(laps: u32) -> String {
    match laps {
        0 => String::new(),
        1 => "(1 lap)".to_owned(),
        many => format!("({many} laps)"),
    }
}
