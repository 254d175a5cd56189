//! The path of a line: a walk, the foot landing, runs with landings between, the head landing.
//!
//! Invariants: the path begins with a landing; a piece that the line does not speak of is left to
//! the full form. Absent: what holds for the whole ramp.

use super::line::Line;
use super::runs::Runs;
use super::side::Sides;
use super::{assume, assume_unused};
use crate::job::choice::{EdgeName, Opens, Turn, Work};
use crate::job::field::Fields;
use crate::job::fill::Assumption;
use crate::job::sent::{DoorRequest, EdgesRequest, PathRequest};
use crate::quantity::{Length, System};

/// What a landing of a line may be given.
#[derive(Default)]
struct Landing {
    work: Option<Work>,
    length: Option<Length>,
    width: Option<Length>,
    turn: Option<Turn>,
    edges: Option<EdgesRequest>,
    curbs: Option<Vec<EdgeName>>,
    edge_drop: Option<Length>,
    door: Option<DoorRequest>,
}

impl From<Landing> for PathRequest {
    fn from(landing: Landing) -> Self {
        Self::Landing {
            work: landing.work,
            by: None,
            length: landing.length,
            width: landing.width,
            turn: landing.turn,
            edges: landing.edges,
            curbs: landing.curbs,
            slope_along: None,
            slope_across: None,
            edge_drop: landing.edge_drop,
            door: landing.door,
        }
    }
}

/// What is known of the path while it is laid.
struct Laying<'a> {
    path: Vec<PathRequest>,
    sides: Sides,
    /// Length of every landing, where it is given.
    landing: Option<Length>,
    assumed: &'a mut Vec<Assumption>,
}

pub(super) fn expand_path(
    line: &mut Line<'_>,
    (runs, width): (&Runs, Option<Length>),
    assumed: &mut Vec<Assumption>,
) -> Vec<PathRequest> {
    let sides = Sides::of(line);
    let turn = read_turn(line, runs);
    let landing = line.quantity::<Length>("landing");
    let (foot, head) = (line.word("foot"), line.word("head"));
    let door = read_door(line);
    let bare = landing.is_some_and(Length::is_zero);
    let mut laying = Laying {
        path: Vec::new(),
        sides,
        landing,
        assumed,
    };
    laying.walk(line);
    if bare {
        refuse_without_landings(line, turn, door.is_some());
        laying.ground();
    } else {
        laying.foot(line, foot, width);
    }
    for number in 0..runs.count {
        if number > 0 && !bare {
            laying.between(line, (turn, number));
        }
        laying.run(runs, line.system);
    }
    if !bare {
        laying.head(head, door);
    }
    if !line.has("door_leaf") {
        let names = &["door_opens", "beyond_latch"];
        let pointer = format!("/ramp/path/{}/door", laying.path.len() - 1);
        assume_unused(line, (names, "door_leaf"), (pointer, laying.assumed));
    }
    laying.path
}

fn read_turn(line: &mut Line<'_>, runs: &Runs) -> Option<Turn> {
    let turn = line.word::<Turn>("turn")?;
    if turn != Turn::Straight && runs.is_single() {
        let runs = line.written("runs").to_owned();
        let accepted =
            format!("straight, or {runs} of 2 or more: one run has no landing to turn at");
        line.refuse("turn", (turn.as_str(), &accepted), Some("straight"));
    }
    Some(turn)
}

fn read_door(line: &mut Line<'_>) -> Option<DoorRequest> {
    let leaf = line.quantity("door_leaf");
    let opens = line.choice("door_opens").map(|word| match word {
        "away" => Opens::Away,
        _ => Opens::OntoLanding,
    });
    let beyond_latch = line.quantity("beyond_latch");
    leaf.map(|leaf| DoorRequest {
        edge: EdgeName::End,
        leaf: Some(leaf),
        opens,
        approach: None,
        closer: None,
        latch: None,
        beyond_latch,
        beyond_hinge: None,
        threshold: None,
    })
}

fn refuse_without_landings(line: &mut Line<'_>, turn: Option<Turn>, door: bool) {
    let turns = turn.is_some_and(|turn| turn != Turn::Straight);
    for name in [(turns, "turn"), (door, "door_leaf")]
        .iter()
        .filter_map(|(is, name)| is.then_some(*name))
    {
        let accepted = format!("a {} above 0, or {name} blank", line.written("landing"));
        line.refuse(name, ("no landing for it", &accepted), None);
    }
}

/// Turning back leads to the other side each time, so that the runs lie side by side.
const fn turn_at(turn: Turn, number: u32) -> Turn {
    match (turn, number % 2) {
        (Turn::BackLeft, 0) => Turn::BackRight,
        (Turn::BackRight, 0) => Turn::BackLeft,
        (turn, _) => turn,
    }
}

impl Laying<'_> {
    fn walk(&mut self, line: &mut Line<'_>) {
        let (length, width) = (
            line.quantity::<Length>("walk"),
            line.quantity_or_default::<Length>("walk_width"),
        );
        let Some(length) = length.filter(|length| !length.is_zero()) else {
            let pointer = "/ramp/path/0/width".to_owned();
            assume_unused(line, (&["walk_width"], "walk"), (pointer, self.assumed));
            return;
        };
        let (width, defaulted) = width;
        if defaulted {
            let why = line.column("walk_width").reason();
            let value = width.tape(line.system);
            assume(self.assumed, "/ramp/path/0/width".to_owned(), (value, why));
        }
        let walk = Landing {
            length: Some(length),
            width: Some(width),
            ..Landing::default()
        };
        self.path.push(walk.into());
    }

    /// Stands for the ground where a line wants no landings: a path begins with a level place.
    fn ground(&mut self) {
        if !self.path.is_empty() {
            return;
        }
        let row = Fields::built_in().row("/ramp/path/*/landing_length");
        let least = row.and_then(|row| row.least.as_deref());
        let least = least.and_then(|text| Length::parse(text).ok());
        let ground = Landing {
            work: Some(Work::Existing),
            length: least,
            ..Landing::default()
        };
        let why =
            "no landing was wanted, so that the least that a job can hold stands for the ground";
        let value = least.unwrap_or_default().print();
        let pointer = "/ramp/path/0/length".to_owned();
        assume(self.assumed, pointer, (value, why.to_owned()));
        self.path.push(ground.into());
    }

    fn foot(&mut self, line: &Line<'_>, work: Option<Work>, width: Option<Length>) {
        let after_walk = !self.path.is_empty();
        let mut foot = Landing {
            work,
            length: self.landing,
            edges: self.sides.edges(Turn::Straight),
            ..Landing::default()
        };
        if after_walk {
            // The full form knows a foot by its being first, and a landing widens to what joins it.
            let row = Fields::built_in().row("/ramp/width");
            let default = row.and_then(|row| row.default(line.system));
            foot.width = width.or(default);
            foot.curbs = Some(Vec::new());
            foot.edge_drop = Some(Length::ZERO);
            self.assume_foot(line, foot.width);
        }
        self.path.push(foot.into());
    }

    /// Lists what a foot behind a walk is given, where the full form would take something else.
    fn assume_foot(&mut self, line: &Line<'_>, width: Option<Length>) {
        let say = |length: Length| length.tape(line.system);
        let flush = line.column("walk").reason();
        let as_ramp = "as wide as the ramp, whatever the walk is".to_owned();
        for (field, value, why) in [
            ("width", say(width.unwrap_or_default()), as_ramp),
            ("edge_drop", say(Length::ZERO), flush.clone()),
            ("curbs", "none".to_owned(), flush),
        ] {
            let pointer = format!("/ramp/path/{}/{field}", self.path.len());
            assume(self.assumed, pointer, (value, why));
        }
    }

    fn between(&mut self, line: &Line<'_>, (turn, number): (Option<Turn>, u32)) {
        let turn = turn.map(|turn| turn_at(turn, number));
        let leaves = turn.unwrap_or(Turn::Straight);
        let why = line.column("right").reason();
        let place = self.path.len();
        self.sides.assume_outer(leaves, place, (&why, self.assumed));
        let landing = Landing {
            length: self.landing,
            turn,
            edges: self.sides.edges(leaves),
            ..Landing::default()
        };
        self.path.push(landing.into());
    }

    fn run(&mut self, runs: &Runs, system: System) {
        runs.assume_length((self.path.len(), system), self.assumed);
        let mut run = runs.one();
        if let PathRequest::Run { edges, .. } = &mut run {
            *edges = self.sides.edges(Turn::Straight);
        }
        self.path.push(run);
    }

    fn head(&mut self, work: Option<Work>, door: Option<DoorRequest>) {
        let head = Landing {
            work,
            length: self.landing,
            edges: self.sides.edges(Turn::Straight),
            door,
            ..Landing::default()
        };
        self.path.push(head.into());
    }
}
