//! Finished results on paper.

mod drawings;
