//! Finished results on paper.

mod drawings;
mod foreman;
