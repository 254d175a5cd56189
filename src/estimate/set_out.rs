//! A job set out on the ground: what a grade sheet and the drawings are made of.

use crate::geometry::{
    Geometry, Grades, MOST_STATIONS, Place, check_apart, count_stations, grade, place_pieces,
};
use crate::job::{GradeSheet, Job};
use crate::quantity::{Fault, Faults};

/// Where the pieces of a job lie, and their grades.
#[derive(Clone, Debug, PartialEq)]
pub struct SetOut {
    /// Each piece on the ground, on plan.
    pub places: Vec<Place>,
    /// The grades of its stations.
    pub grades: Grades,
}

/// Sets a job out.
///
/// # Errors
/// A fault at every piece that lies on another, and one where the step gives more stations than a sheet
/// may have.
pub fn set_out(job: &Job, geometry: &Geometry, wanted: &GradeSheet) -> Result<SetOut, Faults> {
    let places = place_pieces(job, &geometry.surfaces, |surface| surface.plan_length);
    let mut faults = check_apart(&places).err().unwrap_or_default();
    let stations = count_stations(geometry, wanted.step);
    if stations > MOST_STATIONS {
        faults.push(Fault::new(
            "/grade_sheet/step",
            format!("a step that gives {stations} stations"),
            format!("a longer step; {MOST_STATIONS} stations are the most"),
            Some("10 ft"),
        ));
    }
    faults.or(())?;
    Ok(SetOut {
        grades: grade(job, geometry, wanted),
        places,
    })
}
