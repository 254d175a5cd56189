//! Finished results on paper.

mod day_plan;
mod drawings;
mod evaporation;
mod foreman;
mod paper;
mod pdf;
mod read_pdf;
mod ubl;
