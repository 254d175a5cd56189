//! What a rule may measure, and in what: the words that tie a row to the code that measures it.
//!
//! Invariant: a measure has one dimension, so a row whose value is of another kind is refused when it
//! is read. Absent here: any number, any sense of a limit.

/// What the number of a rule is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A length.
    Length,
    /// A slope.
    Slope,
    /// A count or a multiple.
    Count,
    /// No number.
    Nothing,
}

/// Declares the measures with their spelling and kind.
macro_rules! measures {
    ($($(#[$doc:meta])* $variant:ident = $text:literal, $kind:ident;)+) => {
        /// What a rule measures.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, serde::Deserialize)]
        pub enum Measure { $( $(#[$doc])* #[serde(rename = $text)] $variant ),+ }

        impl Measure {
            /// Every measure, in the order of their families.
            pub const ALL: &[Self] = &[$(Self::$variant),+];

            /// How it is spelled in a rule file.
            pub const fn as_str(self) -> &'static str {
                match self { $(Self::$variant => $text),+ }
            }

            /// What its number is.
            pub const fn kind(self) -> Kind {
                match self { $(Self::$variant => Kind::$kind),+ }
            }
        }

        // Written here, since the schema's derive does not read spellings that a macro hands on.
        #[cfg(feature = "service")]
        impl utoipa::PartialSchema for Measure {
            fn schema() -> utoipa::openapi::RefOr<utoipa::openapi::schema::Schema> {
                utoipa::openapi::ObjectBuilder::new()
                    .schema_type(utoipa::openapi::schema::Type::String)
                    .description(Some("What a rule measures."))
                    .enum_values(Some([$($text),+]))
                    .into()
            }
        }

        #[cfg(feature = "service")]
        impl utoipa::ToSchema for Measure {}
    };
}

measures! {
    /// Running slope above which a walk is a ramp.
    RampBegins = "ramp_begins", Slope;
    /// Condition: what the surface must be.
    Surface = "surface", Nothing;
    /// Running slope of a walk.
    WalkSlope = "walk_slope", Slope;
    /// Cross slope of a walk.
    WalkCrossSlope = "walk_cross_slope", Slope;
    /// Clear width of a walk.
    WalkWidth = "walk_width", Length;
    /// Running slope of a ramp run.
    RunSlope = "run_slope", Slope;
    /// Length on plan between two landings.
    RunLength = "run_length", Length;
    /// Rise of the steep runs together, in a band of slopes that a row names.
    SteepRise = "steep_rise", Length;
    /// Steepest slope of any run where steep ones are allowed at all.
    SteepestRun = "steepest_run", Slope;
    /// Cross slope of a ramp run.
    RunCrossSlope = "run_cross_slope", Slope;
    /// Clear width of a ramp run.
    RunWidth = "run_width", Length;
    /// Clear width of a ramp run between its handrails, where that has a row of its own.
    BetweenRails = "between_rails", Length;
    /// Rise between two landings.
    RunRise = "run_rise", Length;
    /// Rise of the whole ramp.
    TotalRise = "total_rise", Length;
    /// Rise of the whole ramp from which steps are wanted beside it.
    StepsBeside = "steps_beside", Length;
    /// Landings at the ends of a run.
    LandingsOfRun = "landings_of_run", Count;
    /// Slope of a landing, either way.
    LandingSlope = "landing_slope", Slope;
    /// Slope of a landing along the path.
    LandingSlopeAlong = "landing_slope_along", Slope;
    /// Slope of a landing across the path.
    LandingSlopeAcross = "landing_slope_across", Slope;
    /// Slope of a landing where it is steepest, whichever way that is.
    LandingSteepest = "landing_steepest", Slope;
    /// Clear width of a landing, as a length.
    LandingBreadth = "landing_breadth", Length;
    /// Clear width of a landing, in widths of the widest run at it.
    LandingWidth = "landing_width", Count;
    /// Clear length of a landing.
    LandingLength = "landing_length", Length;
    /// Clear length of a landing at the foot of the ramp.
    FootLandingLength = "foot_landing_length", Length;
    /// Clear length of a landing between runs.
    MiddleLandingLength = "middle_landing_length", Length;
    /// Either side of the clear square at a turn.
    TurnLanding = "turn_landing", Length;
    /// Longer side of the clear floor where a ramp turns back.
    TurnBackLanding = "turn_back_landing", Length;
    /// The greater of a landing's two slopes, so that water runs off.
    LandingFall = "landing_fall", Slope;
    /// Clear depth square to a door.
    DoorDepth = "door_depth", Nothing;
    /// Clear floor beside a door.
    DoorStrip = "door_strip", Nothing;
    /// Room along a door's edge.
    DoorRoom = "door_room", Nothing;
    /// Slope of the floor at a door.
    DoorFloorSlope = "door_floor_slope", Slope;
    /// Threshold.
    Threshold = "threshold", Length;
    /// Threshold of an existing door, bevelled.
    OldThreshold = "old_threshold", Length;
    /// Rise of a run above which it has handrails.
    RailsNeeded = "rails_needed", Length;
    /// Rise of the whole ramp above which it has handrails.
    RailsByRamp = "rails_by_ramp", Length;
    /// Slope above which a run has handrails.
    RailsBySlope = "rails_by_slope", Slope;
    /// Sides with a handrail.
    RailSides = "rail_sides", Count;
    /// Condition: handrails unbroken.
    RailContinuity = "rail_continuity", Nothing;
    /// Height of a handrail.
    RailHeight = "rail_height", Length;
    /// Space behind a handrail.
    RailClearance = "rail_clearance", Length;
    /// Diameter of a round handrail.
    RailDiameter = "rail_diameter", Length;
    /// Perimeter of another handrail.
    RailPerimeter = "rail_perimeter", Length;
    /// Largest distance across another handrail.
    RailAcross = "rail_across", Length;
    /// Level extension of a handrail.
    RailExtension = "rail_extension", Length;
    /// Edge protection itself.
    EdgeProtection = "edge_protection", Nothing;
    /// Flared sides in place of edge protection.
    FlaredSides = "flared_sides", Slope;
    /// Joined sides, which need no edge protection.
    JoinedSides = "joined_sides", Nothing;
    /// Drop beside a landing that needs no edge protection.
    EdgeDrop = "edge_drop", Length;
    /// Surface past the inside face of a handrail.
    ExtendedSurface = "extended_surface", Length;
    /// Height of a curb.
    CurbHeight = "curb_height", Length;
    /// Opening under a barrier.
    BarrierOpening = "barrier_opening", Length;
    /// Drop beside the ramp above which a guard stands there.
    GuardDrop = "guard_drop", Length;
    /// A level change that may be vertical.
    VerticalChange = "vertical_change", Length;
    /// A level change that may be bevelled.
    BevelledChange = "bevelled_change", Length;
    /// Slope of a bevel.
    Bevel = "bevel", Slope;
    /// A level change that need not be a ramp.
    ChangeWithoutRamp = "change_without_ramp", Length;
    /// Counter slope at a curb ramp's foot.
    CounterSlope = "counter_slope", Slope;
    /// Flares of a curb ramp.
    CurbRampFlare = "curb_ramp_flare", Slope;
    /// Landing at a curb ramp's top.
    CurbRampLanding = "curb_ramp_landing", Length;
    /// Flares of a curb ramp that has no landing.
    FlareWithoutLanding = "flare_without_landing", Slope;
    /// Which stairs are judged.
    StairScope = "stair_scope", Nothing;
    /// Height of a riser.
    Riser = "riser", Length;
    /// Depth of a tread.
    Tread = "tread", Length;
    /// Difference between the risers of a flight.
    RiserSpread = "riser_spread", Length;
    /// Difference between the treads of a flight.
    TreadSpread = "tread_spread", Length;
    /// The usual error between risers.
    RiserTolerance = "riser_tolerance", Length;
    /// The usual error between treads.
    TreadTolerance = "tread_tolerance", Length;
    /// Open risers.
    OpenRisers = "open_risers", Count;
    /// Slope of a tread.
    TreadSlope = "tread_slope", Slope;
    /// Radius of a nosing.
    NosingRadius = "nosing_radius", Length;
    /// How far a nosing stands out.
    Nosing = "nosing", Length;
    /// Condition: handrails on stairs.
    StairRails = "stair_rails", Nothing;
}

impl Measure {
    /// True when a set may hold several rows of it, told apart by what a run is.
    pub const fn is_classed(self) -> bool {
        matches!(
            self,
            Self::SteepRise | Self::RunSlope | Self::RunLength | Self::RampBegins
        )
    }

    /// True when its row may reckon its number from the run: a slope from the going, a going from the
    /// slope.
    pub const fn may_be_reckoned(self) -> bool {
        matches!(self, Self::RunSlope | Self::RunLength)
    }
}
