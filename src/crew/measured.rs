//! Which tasks a job wants, in the order in which they are done.
//!
//! Invariants: a task is there only when there is something of it and it is ours; each task comes
//! from one row. Absent: days, people.

use super::rate::{Figures, RateRow, Rates, TaskRows};
use super::wanted::Wanted;
use crate::geometry::{Geometry, Stands, Surface};
use crate::job::{
    By, CuringMethod, EdgeKind, Finish, Job, JointMethod, Piece, Placing, Saw, Support,
};
use crate::takeoff::{FormStretch, Measures, Takeoff};

/// What the tasks are measured from.
pub(super) struct Measured<'a> {
    pub(super) job: &'a Job,
    pub(super) geometry: &'a Geometry,
    pub(super) takeoff: &'a Takeoff,
    pub(super) rates: &'a Rates,
}

/// Once a visit.
const VISIT: f64 = 1.0;

/// Tasks gathered so far.
struct Gathered<'r>(Vec<Wanted<'r>>);

impl<'r> Gathered<'r> {
    fn add(&mut self, row: &'r RateRow, amount: f64, of: &'static str) {
        self.add_at(row, (amount, 1.0), of);
    }

    fn add_at(&mut self, row: &'r RateRow, (amount, factor): (f64, f64), of: &'static str) {
        if amount > 0.0 {
            self.0.push(task(row, amount, factor, of));
        }
    }
}

fn task<'r>(row: &'r RateRow, amount: f64, factor: f64, of: &'static str) -> Wanted<'r> {
    Wanted {
        row,
        amount,
        factor,
        setup: row.setup_hours,
        of,
    }
}

impl<'a> Measured<'a> {
    /// Every task of the job but what each visit brings with it.
    pub(super) fn tasks(&self) -> Vec<Wanted<'a>> {
        let mut tasks = Gathered(Vec::new());
        let measures = self.measures();
        if measures.surface_area.is_zero() && measures.step_area.is_zero() {
            return tasks.0;
        }
        self.add_base(&mut tasks);
        self.add_forms(&mut tasks);
        self.add_mat(&mut tasks);
        self.add_before_the_pour(&mut tasks);
        self.add_pour(&mut tasks);
        self.add_after_the_pour(&mut tasks);
        self.add_saw(&mut tasks);
        self.add_strip(&mut tasks);
        self.add_close(&mut tasks);
        tasks.0
    }

    /// What every visit brings with it; `open` while forms or fresh concrete stand open.
    pub(super) fn each_visit(&self, open: bool, pour: bool) -> Vec<Wanted<'a>> {
        let rows = self.rows();
        let mut tasks = vec![task(&rows.load_unload, VISIT, 1.0, "/crew")];
        if open {
            tasks.push(task(&rows.secure, VISIT, 1.0, "/crew"));
        }
        if !pour {
            tasks.push(task(&rows.clean_up, VISIT, 1.0, "/crew"));
        }
        tasks
    }

    fn measures(&self) -> &'a Measures {
        &self.takeoff.measures
    }

    fn rows(&self) -> &'a TaskRows {
        &self.rates.tasks
    }

    fn add_base(&self, tasks: &mut Gathered<'a>) {
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

    fn add_earthwork(&self, tasks: &mut Gathered<'a>) {
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

    fn add_forms(&self, tasks: &mut Gathered<'a>) {
        let rows = self.rows();
        let stretches = &self.measures().form_staked;
        for (row, class) in [
            (&rows.form_edge_slope, FormClass::Slope),
            (&rows.form_edge_low, FormClass::Low),
            (&rows.form_edge_high, FormClass::High),
        ] {
            let length = self.form_amount(stretches, class, |form| form.length.feet());
            tasks.add(row, length, "/ramp/path");
        }
        tasks.add(&rows.form_side, self.side_area(), "/ramp/path");
        let braced = self.measures().wall_form_area.square_feet();
        tasks.add(&rows.form_wall, braced, "/elements");
        let before = self.measures().before_volume.cubic_yards();
        tasks.add(&rows.footings_walls, before, "/elements");
        let wall = self.measures().form_on_wall.feet();
        tasks.add_at(
            &rows.form_on_wall,
            (wall, self.alone_factor()),
            "/ramp/path",
        );
    }

    fn form_amount(
        &self,
        stretches: &[FormStretch],
        class: FormClass,
        amount: impl Fn(&FormStretch) -> f64,
    ) -> f64 {
        let figures = &self.rates.figures;
        let of_class = stretches
            .iter()
            .filter(|form| FormClass::of(form, figures) == class);
        of_class.map(amount).sum()
    }

    fn side_area(&self) -> f64 {
        self.form_amount(&self.measures().form_staked, FormClass::Side, |form| {
            (form.length * form.height).square_feet()
        })
    }

    fn alone_factor(&self) -> f64 {
        if self.job.crew.people() == 1 {
            self.rates.figures.alone_factor.likely
        } else {
            1.0
        }
    }

    fn add_mat(&self, tasks: &mut Gathered<'a>) {
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

    fn add_before_the_pour(&self, tasks: &mut Gathered<'a>) {
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
        wall || self.new_pieces().any(|(piece, _)| match piece {
            Piece::Landing(landing) => landing.door.is_some(),
            Piece::Run(_) => false,
        })
    }

    fn new_pieces(&self) -> impl Iterator<Item = (&'a Piece, &'a Surface)> {
        let pieces = self.job.ramp.path.iter().zip(&self.geometry.surfaces);
        pieces.filter(|(piece, _)| piece.work() == crate::job::Work::New && piece.by().is_ours())
    }

    fn add_pour(&self, tasks: &mut Gathered<'a>) {
        let (rows, measures) = (self.rows(), self.measures());
        let slope = self.slope_factor();
        let place = match self.job.crew.placing {
            Placing::Chute => &rows.place_chute,
            Placing::Barrow => &rows.place_barrow,
            Placing::Buggy => &rows.place_buggy,
            Placing::Pump => &rows.place_pump,
            Placing::Bags => &rows.place_bags,
        };
        let area = measures.surface_area.square_feet();
        let concrete = measures.concrete_volume.cubic_yards();
        tasks.add_at(place, (concrete, slope), "/slab/concrete");
        tasks.add_at(&rows.strike_off, (area, slope), "/slab");
        tasks.add_at(&rows.finish, (area, slope), "/slab/finish");
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

    /// The factor of the sloped and the steep part, each by its area.
    fn slope_factor(&self) -> f64 {
        let figures = &self.rates.figures;
        let around = self.geometry.solids.iter();
        let around = around.filter(|solid| solid.by.is_some_and(By::is_ours));
        let around = around.flat_map(|solid| &solid.tops);
        let around = around.filter(|top| !top.stepped);
        let path = self.new_pieces();
        let path = path.map(|(_, surface)| (surface.slope, surface.area));
        let (mut area, mut weighted) = (0.0, 0.0);
        for (slope, surface) in path.chain(around.map(|top| (top.slope, top.area))) {
            let factor = if slope.at_most(figures.sloped_above.likely) {
                1.0
            } else if slope.at_most(figures.steep_above.likely) {
                figures.slope_factor.likely
            } else {
                figures.steep_factor.likely
            };
            area += surface.square_feet();
            weighted += surface.square_feet() * factor;
        }
        if area > 0.0 { weighted / area } else { 1.0 }
    }

    fn add_after_the_pour(&self, tasks: &mut Gathered<'a>) {
        let (rows, measures) = (self.rows(), self.measures());
        let cured = match self.job.curing.method {
            CuringMethod::WetCover => &rows.cover_on,
            CuringMethod::Compound => &rows.cure_compound,
        };
        tasks.add(cured, measures.curing_area.square_feet(), "/curing");
        tasks.add(&rows.washout, f64::from(measures.loads), "/slab/concrete");
        tasks.add(&rows.clean_up_pour, VISIT, "/crew");
    }

    fn add_saw(&self, tasks: &mut Gathered<'a>) {
        if self.job.joints.method != JointMethod::Sawn {
            return;
        }
        let row = match self.job.joints.saw {
            Saw::EarlyEntry => &self.rows().saw_early_entry,
            Saw::Conventional => &self.rows().saw_conventional,
        };
        tasks.add(row, self.measures().joint_length.feet(), "/joints");
    }

    fn add_strip(&self, tasks: &mut Gathered<'a>) {
        let (rows, measures) = (self.rows(), self.measures());
        let staked = [FormClass::Slope, FormClass::Low, FormClass::High]
            .map(|class| self.form_amount(&measures.form_staked, class, |form| form.length.feet()));
        let curb = measures.curb_face_form.feet();
        tasks.add(
            &rows.strip_staked,
            staked.iter().sum::<f64>() + curb,
            "/ramp/path",
        );
        let sides = self.side_area() + measures.wall_form_area.square_feet();
        tasks.add(&rows.strip_side, sides, "/ramp/path");
        tasks.add(&rows.strip_wall, measures.form_on_wall.feet(), "/ramp/path");
        tasks.add(&rows.rub, measures.rubbed_area.square_feet(), "/ramp/path");
        tasks.add(&rows.level_walk, VISIT, "/ramp");
    }

    fn add_close(&self, tasks: &mut Gathered<'a>) {
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

/// Which row a stretch of staked form takes.
#[derive(Clone, Copy, PartialEq, Eq)]
enum FormClass {
    Slope,
    Low,
    High,
    Side,
}

impl FormClass {
    fn of(form: &FormStretch, figures: &Figures) -> Self {
        if !form.height.at_most(figures.form_high_height.likely) {
            Self::Side
        } else if form.slope {
            Self::Slope
        } else if form.height.at_most(figures.form_low_height.likely) {
            Self::Low
        } else {
            Self::High
        }
    }
}
