//! Words broken into lines.
//!
//! Invariants: no line is wider than its room; a word that is wider than a line is broken between letters;
//! nothing is left out, and a letter that the font lacks is drawn as its sign. Absent: hyphens.

use super::part::Prose;
use crate::documents::drawing::{drawable, width_of};

/// Words at a place in a line.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Piece {
    pub(super) x: f64,
    pub(super) words: String,
    pub(super) bold: bool,
}

/// One line.
pub(super) type Line = Vec<Piece>;

/// Words in lines no wider than a room; one empty line where there are none.
pub(super) fn broken(prose: &Prose, size: f64, room: f64) -> Vec<Line> {
    let mut setter = Setter {
        lines: vec![Vec::new()],
        size,
        room,
        x: 0.0,
    };
    for span in &prose.0 {
        for word in drawable(&span.words).split_whitespace() {
            setter.word(word, span.bold);
        }
    }
    setter.lines
}

/// Words of one weight in lines, as plain texts.
pub(super) fn broken_plain(words: &str, (size, bold): (f64, bool), room: f64) -> Vec<String> {
    let prose = if bold {
        Prose::bold(words)
    } else {
        Prose::from(words)
    };
    let text = |line: Line| line.into_iter().map(|piece| piece.words).collect();
    broken(&prose, size, room).into_iter().map(text).collect()
}

struct Setter {
    lines: Vec<Line>,
    size: f64,
    room: f64,
    x: f64,
}

impl Setter {
    fn line(&mut self) -> &mut Line {
        self.lines
            .last_mut()
            .expect("there is a line from the start")
    }

    fn word(&mut self, word: &str, bold: bool) {
        let width = width_of(word, self.size, bold);
        let space = width_of(" ", self.size, bold);
        let is_first = self.line().is_empty();
        let before = if is_first { 0.0 } else { space };
        if self.x + before + width <= self.room {
            self.append(word, bold, (before, width));
        } else if width <= self.room {
            self.new_line();
            self.append(word, bold, (0.0, width));
        } else {
            self.long_word(word, bold);
        }
    }

    fn new_line(&mut self) {
        if !self.line().is_empty() {
            self.lines.push(Vec::new());
        }
        self.x = 0.0;
    }

    fn append(&mut self, word: &str, bold: bool, (before, width): (f64, f64)) {
        let x = self.x + before;
        self.x = x + width;
        let line = self.line();
        if let Some(last) = line.last_mut()
            && last.bold == bold
        {
            if before > 0.0 {
                last.words.push(' ');
            }
            last.words.push_str(word);
            return;
        }
        let words = word.to_owned();
        line.push(Piece { x, words, bold });
    }

    /// A word that no line holds, letter by letter.
    fn long_word(&mut self, word: &str, bold: bool) {
        self.new_line();
        let mut buffer = [0; 4];
        for letter in word.chars() {
            let letter = letter.encode_utf8(&mut buffer);
            let width = width_of(letter, self.size, bold);
            if self.x + width > self.room {
                self.new_line();
            }
            self.append(letter, bold, (0.0, width));
        }
    }
}
