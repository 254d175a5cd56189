//! A table's names, or those of a query, bound to the columns of the short form.
//!
//! Invariants: capitals are the same as small letters and blanks around a name are nothing; a name
//! that is bound twice is found out in the row that fills both. Absent: cells.

use super::column::{Columns, ShortColumn, ShortKind};

/// The names of a table's columns or of a query, each bound to what it means.
#[derive(Clone, Debug)]
pub struct ShortHeading {
    names: Vec<String>,
    bound: Vec<Option<Bound>>,
}

/// What a name means.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bound {
    /// Place of the column in the table of columns.
    pub(super) column: usize,
    /// The unit of its plain numbers; none where a cell holds a text with a unit.
    pub(super) unit: Option<&'static str>,
}

impl ShortHeading {
    /// Binds names as written; capitals are the same as small letters.
    pub fn bind<T: AsRef<str>>(names: &[T]) -> Self {
        let names: Vec<String> = names
            .iter()
            .map(|name| name.as_ref().trim().to_owned())
            .collect();
        let bound = names.iter().map(|name| Bound::of(name)).collect();
        Self { names, bound }
    }

    /// Places of the names that are no column of the short form, from 0.
    pub fn unknown(&self) -> Vec<usize> {
        self.places(|bound| bound.is_none())
    }

    /// Places of the columns that only a batch has a use for, from 0.
    pub fn batch_only(&self) -> Vec<usize> {
        let rows = &Columns::built_in().rows;
        self.places(|bound| bound.is_some_and(|bound| rows[bound.column].is_batch_only()))
    }

    /// Places of the names that stand for a column.
    pub(super) fn places_of(&self, column: usize) -> impl Iterator<Item = usize> {
        let bound = self.bound.iter().enumerate();
        bound.filter_map(move |(place, bound)| {
            bound
                .is_some_and(|bound| bound.column == column)
                .then_some(place)
        })
    }

    /// The name at a place, as written.
    pub(super) fn name(&self, place: usize) -> &str {
        self.names.get(place).map_or("", String::as_str)
    }

    /// What each name means, in their order.
    pub(super) fn bound(&self) -> &[Option<Bound>] {
        &self.bound
    }

    /// How the caller calls a column: as written where it is there, else by its plain name.
    pub(super) fn written<'a>(&'a self, column: &'a ShortColumn) -> &'a str {
        let place = Columns::built_in().place(&column.name);
        let place = place.and_then(|column| self.places_of(column).next());
        place.map_or(column.name.as_str(), |place| self.name(place))
    }

    /// Whether a column stands in the heading.
    pub(super) fn has(&self, column: &ShortColumn) -> bool {
        let place = Columns::built_in().place(&column.name);
        place.is_some_and(|column| self.places_of(column).next().is_some())
    }

    fn places(&self, wanted: impl Fn(&Option<Bound>) -> bool) -> Vec<usize> {
        let bound = self.bound.iter().enumerate();
        bound
            .filter(|(_, bound)| wanted(bound))
            .map(|(place, _)| place)
            .collect()
    }
}

impl Bound {
    /// The unit of a number that stands alone; none where a cell holds a text with its unit.
    pub(super) fn plain_unit(self) -> Option<&'static str> {
        let row = &Columns::built_in().rows[self.column];
        self.unit
            .or((row.kind == ShortKind::Percent).then_some("%"))
    }

    /// What a name means, capitals or not.
    pub(super) fn of(name: &str) -> Option<Self> {
        let columns = Columns::built_in();
        let name = name.to_lowercase();
        if let Some(column) = columns.place(&name) {
            return Some(Self { column, unit: None });
        }
        let (plain, suffix) = name.rsplit_once('_')?;
        let column = columns.place(plain)?;
        let units = columns.rows[column].kind.units().iter();
        let (_, unit) = units
            .clone()
            .find(|(own, _)| own.eq_ignore_ascii_case(suffix))?;
        Some(Self {
            column,
            unit: Some(unit),
        })
    }
}
