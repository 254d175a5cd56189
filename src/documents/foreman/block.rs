//! What stands on a sheet, however it is written.

use crate::documents::drawing::Page;

/// One page of blocks under a title.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// The job.
    pub title: String,
    /// The day and what made it.
    pub subtitle: String,
    /// From the top down; two narrow ones that follow each other stand side by side.
    pub blocks: Vec<Block>,
}

/// A heading with what stands under it.
#[derive(Clone, Debug, PartialEq)]
pub struct Block {
    /// The heading.
    pub heading: String,
    /// True when it takes the whole width.
    pub wide: bool,
    /// What stands under it.
    pub body: Body,
}

/// What stands under a heading.
#[derive(Clone, Debug, PartialEq)]
pub enum Body {
    /// Rows under heads; an empty cell is to be filled in where its row says so.
    Table {
        /// One a column.
        heads: Vec<String>,
        /// As many cells as there are heads.
        rows: Vec<Vec<String>>,
        /// True when empty cells are boxes to write in.
        to_fill: bool,
    },
    /// Things to tick.
    Checks(Vec<String>),
    /// Questions with a line to write on.
    Blanks(Vec<String>),
    /// Sentences.
    Lines(Vec<String>),
    /// A drawing.
    Picture(Box<Page>),
}

impl Block {
    pub(super) fn narrow(heading: &str, body: Body) -> Self {
        Self {
            heading: heading.to_owned(),
            wide: false,
            body,
        }
    }

    pub(super) fn wide(heading: &str, body: Body) -> Self {
        Self {
            wide: true,
            ..Self::narrow(heading, body)
        }
    }
}
