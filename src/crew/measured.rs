//! Which tasks a job wants, in the order in which they are done.
//!
//! Invariants: a task is there only when there is something of it and it is ours; each task comes
//! from one row. Absent: days, people.

use super::bend::{Facts, Weights, product};
use super::edge_form::StakedForms;
use super::rate::{RateRow, Rates};
use super::task_rows::TaskRows;
use super::wanted::Wanted;
use crate::geometry::{Geometry, Stands, Surface};
use crate::job::{
    By, CuringMethod, EdgeKind, Finish, Job, JointMethod, Piece, Placing, Saw, Support, Work,
};
use crate::takeoff::{Measures, Takeoff};

/// What the tasks are measured from.
pub(super) struct Measured<'a> {
    pub(super) job: &'a Job,
    pub(super) geometry: &'a Geometry,
    pub(super) takeoff: &'a Takeoff,
    pub(super) rates: &'a Rates,
    pub(super) weights: Weights,
    forms: StakedForms,
}

/// Once a visit.
const VISIT: f64 = 1.0;

/// Tasks gathered so far.
struct Gathered<'m, 'r> {
    measured: &'m Measured<'r>,
    tasks: Vec<Wanted<'r>>,
}

impl<'r> Gathered<'_, 'r> {
    fn add(&mut self, row: &'r RateRow, amount: f64, of: &'static str) {
        self.add_tapering(row, (amount, 0.0), of);
    }

    /// With the share of the amount that tapers.
    fn add_tapering(&mut self, row: &'r RateRow, (amount, tapering): (f64, f64), of: &'static str) {
        if amount > 0.0 {
            let task = self.measured.task(row, (amount, tapering), of);
            self.tasks.push(task);
        }
    }
}

/// Pieces of the path that we pour.
pub(super) fn new_pieces<'a>(
    job: &'a Job,
    geometry: &'a Geometry,
) -> impl Iterator<Item = (&'a Piece, &'a Surface)> {
    let pieces = job.ramp.path.iter().zip(&geometry.surfaces);
    pieces.filter(|(piece, _)| piece.work() == Work::New && piece.by().is_ours())
}

impl<'a> Measured<'a> {
    pub(super) fn of(
        (job, geometry): (&'a Job, &'a Geometry),
        takeoff: &'a Takeoff,
        rates: &'a Rates,
    ) -> Self {
        let forms = StakedForms::of(&takeoff.measures.form_staked, &rates.figures);
        let facts = Facts {
            job,
            geometry,
            forms: &forms,
        };
        Self {
            weights: Weights::of(&facts, &rates.modifiers),
            job,
            geometry,
            takeoff,
            rates,
            forms,
        }
    }

    fn task(
        &self,
        row: &'a RateRow,
        (amount, tapering): (f64, f64),
        of: &'static str,
    ) -> Wanted<'a> {
        Wanted {
            row,
            amount,
            factor: product(self.weights.bend(row, tapering, self.rates)),
            tapering,
            setup: row.setup_hours,
            of,
        }
    }

    /// Every task of the job but what each visit brings with it.
    pub(super) fn tasks(&self) -> Vec<Wanted<'a>> {
        let measures = self.measures();
        if measures.surface_area.is_zero() && measures.step_area.is_zero() {
            return Vec::new();
        }
        let mut tasks = Gathered {
            measured: self,
            tasks: Vec::new(),
        };
        self.add_base(&mut tasks);
        self.add_forms(&mut tasks);
        self.add_mat(&mut tasks);
        self.add_before_the_pour(&mut tasks);
        self.add_pour(&mut tasks);
        self.add_after_the_pour(&mut tasks);
        self.add_saw(&mut tasks);
        self.add_strip(&mut tasks);
        self.add_close(&mut tasks);
        tasks.tasks
    }

    /// What every visit brings with it; `open` while forms or fresh concrete stand open.
    pub(super) fn each_visit(&self, open: bool, pour: bool) -> Vec<Wanted<'a>> {
        let rows = self.rows();
        let once = |row| self.task(row, (VISIT, 0.0), "/crew");
        let mut tasks = vec![once(&rows.load_unload)];
        if open {
            tasks.push(once(&rows.secure));
        }
        if !pour {
            tasks.push(once(&rows.clean_up));
        }
        tasks
    }

    fn measures(&self) -> &'a Measures {
        &self.takeoff.measures
    }

    fn rows(&self) -> &'a TaskRows {
        &self.rates.tasks
    }

    fn add_base(&self, tasks: &mut Gathered<'_, 'a>) {
        let (rows, measures) = (self.rows(), self.measures());
        let area = measures.surface_area.square_feet();
        tasks.add(&rows.layout, area, "/ramp");
        tasks.add(&rows.material_pickup, VISIT, "/crew");
        self.add_earthwork(tasks);
        tasks.add(&rows.fine_grade, self.graded_area(), "/base");
        let stone = match self.job.crew.placing {
            // Where concrete has to be wheeled, so has the stone.
            Placing::Barrow => &rows.stone_barrow,
            _ => &rows.stone,
        };
        tasks.add(stone, measures.stone_volume.cubic_yards(), "/base");
        if measures.stone_volume.cubic_yards() > 0.0 {
            let boards = measures.insulation_area.square_feet();
            tasks.add(&rows.stone_level, boards, "/insulation");
        }
    }

    fn add_earthwork(&self, tasks: &mut Gathered<'_, 'a>) {
        let (rows, measures) = (self.rows(), self.measures());
        tasks.add(&rows.cut_existing, measures.cut_length.feet(), "/earthwork");
        let broken = measures.broken_area.square_feet();
        tasks.add(&rows.break_out, broken, "/earthwork");
        let machine = self
            .takeoff
            .lines
            .iter()
            .any(|line| line.of == "/earthwork" && line.code.contains("excavator"));
        let row = if machine {
            &rows.dig_machine
        } else {
            &rows.dig_hand
        };
        tasks.add(row, measures.dug_volume.cubic_yards(), "/earthwork");
    }

    /// The ground we trim: under our stone; under the slab where there is none; not where others
    /// bring the fill to its height.
    fn graded_area(&self) -> f64 {
        let filled = self.job.ramp.support == Support::BetweenWalls;
        if filled && !self.job.site_work.fill.is_ours() {
            return 0.0;
        }
        match self.job.base.as_option() {
            Some(_) => self.measures().base_area.square_feet(),
            None => self.measures().surface_area.square_feet(),
        }
    }

    fn add_forms(&self, tasks: &mut Gathered<'_, 'a>) {
        let (rows, forms) = (self.rows(), &self.forms);
        for (row, edges) in [
            (&rows.form_edge_slope, forms.slope),
            (&rows.form_edge_low, forms.low),
            (&rows.form_edge_high, forms.high),
        ] {
            let tapering = edges.tapering_share();
            tasks.add_tapering(row, (edges.length.feet(), tapering), "/ramp/path");
        }
        tasks.add(&rows.form_side, forms.side.square_feet(), "/ramp/path");
        let braced = self.measures().wall_form_area.square_feet();
        tasks.add(&rows.form_wall, braced, "/elements");
        let before = self.measures().before_volume.cubic_yards();
        tasks.add(&rows.footings_walls, before, "/elements");
        let wall = self.measures().form_on_wall.feet();
        tasks.add(&rows.form_on_wall, wall, "/ramp/path");
    }

    fn add_mat(&self, tasks: &mut Gathered<'_, 'a>) {
        let (rows, measures) = (self.rows(), self.measures());
        tasks.add(
            &rows.insulation,
            measures.insulation_area.square_feet(),
            "/insulation",
        );
        tasks.add(
            &rows.isolation_filler,
            measures.isolation_length.feet(),
            "/joints",
        );
        let cut_by_us = self
            .job
            .reinforcement
            .as_option()
            .is_some_and(|steel| steel.by == By::Us);
        let bars = if cut_by_us {
            &rows.bars_cut
        } else {
            &rows.bars
        };
        tasks.add(bars, measures.bar_mass.pounds(), "/reinforcement");
        tasks.add(
            &rows.form_curb,
            measures.curb_face_form.feet(),
            "/ramp/curb",
        );
        tasks.add(&rows.form_riser, measures.riser_form.feet(), "/ramp/steps");
        tasks.add(&rows.drill_dowel, measures.dowel_holes, "/elements");
        let returned = measures.returned_volume.cubic_yards();
        tasks.add(&rows.fill_back, returned, "/earthwork");
        tasks.add(&rows.inspection_wait, VISIT, "/site_work/permit");
    }

    fn add_before_the_pour(&self, tasks: &mut Gathered<'_, 'a>) {
        let rows = self.rows();
        tasks.add(&rows.grade_check, VISIT, "/ramp");
        if self.is_beside_a_building() {
            tasks.add(&rows.protect_building, VISIT, "/ramp/path");
        }
    }

    /// A wall along the new slab, or a door at it.
    fn is_beside_a_building(&self) -> bool {
        let wall = self.geometry.new_edges().any(|edge| {
            matches!(
                edge.stands,
                Stands::Edge(EdgeKind::AgainstWall | EdgeKind::FormOnWall)
            )
        });
        wall || new_pieces(self.job, self.geometry).any(|(piece, _)| match piece {
            Piece::Landing(landing) => landing.door.is_some(),
            Piece::Run(_) => false,
        })
    }

    fn add_pour(&self, tasks: &mut Gathered<'_, 'a>) {
        let (rows, measures) = (self.rows(), self.measures());
        let place = match self.job.crew.placing {
            Placing::Chute => &rows.place_chute,
            Placing::Barrow => &rows.place_barrow,
            Placing::Buggy => &rows.place_buggy,
            Placing::Pump => &rows.place_pump,
            Placing::Bags => &rows.place_bags,
        };
        let area = measures.surface_area.square_feet();
        let concrete = measures.concrete_volume.cubic_yards();
        tasks.add(place, concrete, "/slab/concrete");
        tasks.add(&rows.strike_off, area, "/slab");
        tasks.add(&rows.finish, area, "/slab/finish");
        tasks.add(&rows.curb_finish, measures.curb_length.feet(), "/ramp/curb");
        let steps = measures.step_area.square_feet();
        tasks.add(&rows.finish_steps, steps, "/ramp/steps");
        if self.job.joints.method == JointMethod::Tooled {
            tasks.add(&rows.joint_tooled, measures.joint_length.feet(), "/joints");
        }
        if self.job.slab.finish == Finish::Exposed {
            tasks.add(&rows.expose, area, "/slab/finish");
        }
    }

    fn add_after_the_pour(&self, tasks: &mut Gathered<'_, 'a>) {
        let (rows, measures) = (self.rows(), self.measures());
        let cured = match self.job.curing.method {
            CuringMethod::WetCover => &rows.cover_on,
            CuringMethod::Compound => &rows.cure_compound,
        };
        tasks.add(cured, measures.curing_area.square_feet(), "/curing");
        tasks.add(&rows.washout, f64::from(measures.loads), "/slab/concrete");
        tasks.add(&rows.clean_up_pour, VISIT, "/crew");
    }

    fn add_saw(&self, tasks: &mut Gathered<'_, 'a>) {
        if self.job.joints.method != JointMethod::Sawn {
            return;
        }
        let row = match self.job.joints.saw {
            Saw::EarlyEntry => &self.rows().saw_early_entry,
            Saw::Conventional => &self.rows().saw_conventional,
        };
        tasks.add(row, self.measures().joint_length.feet(), "/joints");
    }

    fn add_strip(&self, tasks: &mut Gathered<'_, 'a>) {
        let (rows, measures) = (self.rows(), self.measures());
        let staked = self.forms.edges().feet() + measures.curb_face_form.feet();
        tasks.add(&rows.strip_staked, staked, "/ramp/path");
        let sides = (self.forms.side + measures.wall_form_area).square_feet();
        tasks.add(&rows.strip_side, sides, "/ramp/path");
        tasks.add(&rows.strip_wall, measures.form_on_wall.feet(), "/ramp/path");
        tasks.add(&rows.rub, measures.rubbed_area.square_feet(), "/ramp/path");
        tasks.add(&rows.level_walk, VISIT, "/ramp");
    }

    fn add_close(&self, tasks: &mut Gathered<'_, 'a>) {
        let (rows, measures) = (self.rows(), self.measures());
        if self.job.curing.method == CuringMethod::WetCover {
            tasks.add(
                &rows.cover_off,
                measures.curing_area.square_feet(),
                "/curing",
            );
        }
        tasks.add(
            &rows.backfill,
            measures.backfill_length.feet(),
            "/site_work/backfill",
        );
        let set_by_a_sub = self
            .takeoff
            .lines
            .iter()
            .any(|line| line.code == "handrail-set-ft");
        if !set_by_a_sub {
            tasks.add(
                &rows.handrail,
                measures.handrail_length.feet(),
                "/ramp/handrails",
            );
        }
        tasks.add(
            &rows.seal_surface,
            measures.sealer_area.square_feet(),
            "/sealer",
        );
        tasks.add(&rows.seal_joints, measures.sealed_length.feet(), "/joints");
    }
}
