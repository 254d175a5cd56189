//! Finished results on paper.

mod drawings;
mod foreman;
mod pdf;
mod read_pdf;
