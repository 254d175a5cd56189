//! What is drawn on one page, before anybody decides how it is written down.
//!
//! Invariants: places are in millimetres on the paper, from its upper left corner, to the right and down;
//! what is drawn first lies below. Absent: what any of it means.

use super::bitmap::Bitmap;

/// A place on the paper, in millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spot {
    /// To the right of the paper's left edge.
    pub x: f64,
    /// Below its upper edge.
    pub y: f64,
}

/// How a line is drawn. Widths and dashes follow general drafting practice: what is cut or seen is wide,
/// what explains is thin, what lies hidden is dashed, an axis is a chain of long and short dashes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pen {
    /// An edge that is seen or cut.
    Outline,
    /// An edge of what stands there already, and what explains.
    Thin,
    /// A reinforcing bar.
    Bar,
    /// What lies hidden below.
    Hidden,
    /// A centre line.
    Centre,
    /// A joint.
    Joint,
}

/// How an area is filled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tone {
    /// As the paper, hiding what lies below.
    Paper,
    /// Light grey.
    Light,
    /// Middle grey.
    Middle,
    /// Black.
    Ink,
}

/// Which end of a text stands at its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// Its beginning.
    Start,
    /// Its middle.
    Middle,
    /// Its end.
    End,
}

/// Letters at a place; the place is on their base line.
#[derive(Clone, Debug, PartialEq)]
pub struct Text {
    /// Where.
    pub at: Spot,
    /// What.
    pub words: String,
    /// Height of the font, in millimetres on the paper.
    pub size: f64,
    /// Which end stands at `at`.
    pub anchor: Anchor,
    /// Turned about `at`, in degrees clockwise.
    pub turned: f64,
    /// Heavier than usual.
    pub bold: bool,
}

/// One thing drawn.
#[derive(Clone, Debug, PartialEq)]
pub enum Item {
    /// A line through some places.
    Line {
        /// The places.
        through: Vec<Spot>,
        /// How.
        pen: Pen,
    },
    /// A closed area.
    Area {
        /// Its corners.
        corners: Vec<Spot>,
        /// Its edge.
        pen: Option<Pen>,
        /// Its inside.
        tone: Option<Tone>,
    },
    /// A disc.
    Dot {
        /// Its middle.
        at: Spot,
        /// Its radius, in millimetres.
        radius: f64,
        /// Its inside.
        tone: Tone,
    },
    /// A picture made of points.
    Bitmap {
        /// Its upper left corner.
        at: Spot,
        /// Width and height, in millimetres.
        size: (f64, f64),
        /// The picture.
        bitmap: Bitmap,
    },
    /// Letters.
    Text(Text),
}

/// One page.
#[derive(Clone, Debug, PartialEq)]
pub struct Page {
    /// Width, in millimetres.
    pub width: f64,
    /// Height, in millimetres.
    pub height: f64,
    /// What it shows, in few words.
    pub title: String,
    /// What it shows, for who cannot see it.
    pub description: String,
    /// From the lowest to the topmost.
    pub items: Vec<Item>,
}

impl Spot {
    /// A place.
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// Moved to the right and down.
    #[must_use]
    pub fn moved(self, x: f64, y: f64) -> Self {
        Self::new(self.x + x, self.y + y)
    }
}

impl Item {
    /// How far up and how far down it reaches on the paper, its letters a line high.
    pub fn reach(&self) -> (f64, f64) {
        let of = |spots: &[Spot]| {
            spots
                .iter()
                .fold((f64::INFINITY, f64::NEG_INFINITY), |(top, bottom), spot| {
                    (top.min(spot.y), bottom.max(spot.y))
                })
        };
        match self {
            Self::Line { through, .. } => of(through),
            Self::Area { corners, .. } => of(corners),
            Self::Dot { at, radius, .. } => (at.y - radius, at.y + radius),
            Self::Bitmap { at, size, .. } => (at.y, at.y + size.1),
            Self::Text(text) => (text.at.y - text.size, text.at.y + text.size * 0.3),
        }
    }

    /// The same, moved to the right and down.
    #[must_use]
    pub fn moved(&self, x: f64, y: f64) -> Self {
        let each = |spots: &[Spot]| spots.iter().map(|spot| spot.moved(x, y)).collect();
        match self {
            Self::Line { through, pen } => Self::Line {
                through: each(through),
                pen: *pen,
            },
            Self::Area { corners, pen, tone } => Self::Area {
                corners: each(corners),
                pen: *pen,
                tone: *tone,
            },
            Self::Dot { at, radius, tone } => Self::Dot {
                at: at.moved(x, y),
                radius: *radius,
                tone: *tone,
            },
            Self::Bitmap { at, size, bitmap } => Self::Bitmap {
                at: at.moved(x, y),
                size: *size,
                bitmap: bitmap.clone(),
            },
            Self::Text(text) => Self::Text(Text {
                at: text.at.moved(x, y),
                ..text.clone()
            }),
        }
    }
}

impl Pen {
    /// Every way.
    pub const ALL: [Self; 6] = [
        Self::Outline,
        Self::Thin,
        Self::Bar,
        Self::Hidden,
        Self::Centre,
        Self::Joint,
    ];

    /// Its width, in millimetres.
    pub const fn width(self) -> f64 {
        match self {
            Self::Outline => 0.5,
            Self::Bar | Self::Joint => 0.35,
            Self::Thin | Self::Hidden | Self::Centre => 0.18,
        }
    }

    /// Lengths of dash and gap, in millimetres; none where it is drawn through.
    pub const fn dashes(self) -> &'static [f64] {
        match self {
            Self::Hidden => &[2.0, 1.0],
            Self::Centre => &[6.0, 1.0, 1.0, 1.0],
            Self::Joint => &[4.0, 1.2],
            Self::Outline | Self::Thin | Self::Bar => &[],
        }
    }
}

impl Tone {
    /// How light it is, 0 for black and 255 for white.
    pub const fn grey(self) -> u8 {
        match self {
            Self::Paper => 255,
            Self::Light => 232,
            Self::Middle => 190,
            Self::Ink => 0,
        }
    }
}
