//! Finished results on paper.

mod day_plan;
mod drawings;
mod evaporation;
mod foreman;
mod pdf;
mod read_pdf;
mod ubl;
