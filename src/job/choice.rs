//! The words a job is written in: what may be chosen, and how each choice is spelled.
//!
//! Invariant: one spelling a choice, the same in requests, answers and the published contract.

/// Declares an enum whose variants each have one spelling, readable by both body readers.
macro_rules! choices {
    ($($(#[$doc:meta])* $name:ident { $($(#[$vdoc:meta])* $variant:ident = $text:literal),+ $(,)? })+) => { $(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, serde::Deserialize, deserr::Deserr)]
        pub enum $name { $(
            $(#[$vdoc])* #[serde(rename = $text)] #[deserr(rename = $text)] $variant
        ),+ }

        impl $name {
            /// Every choice, in the order in which it is offered.
            pub const ALL: &[Self] = &[$(Self::$variant),+];

            /// How it is spelled on the wire.
            pub const fn as_str(self) -> &'static str {
                match self { $(Self::$variant => $text),+ }
            }
        }

        // Written here, since the schema's derive does not read spellings that a macro hands on.
        #[cfg(feature = "service")]
        impl utoipa::PartialSchema for $name {
            fn schema() -> utoipa::openapi::RefOr<utoipa::openapi::schema::Schema> {
                utoipa::openapi::ObjectBuilder::new()
                    .schema_type(utoipa::openapi::schema::Type::String)
                    .enum_values(Some([$($text),+]))
                    .into()
            }
        }

        #[cfg(feature = "service")]
        impl utoipa::ToSchema for $name {
            fn name() -> std::borrow::Cow<'static, str> {
                stringify!($name).into()
            }
        }

        impl std::str::FromStr for $name {
            type Err = &'static str;

            fn from_str(text: &str) -> Result<Self, Self::Err> {
                match text { $($text => Ok(Self::$variant),)+ _ => Err(concat!($("`", $text, "` "),+)) }
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(self.as_str())
            }
        }
    )+ };
}

mod element;
mod pour;
mod steel;
mod survey;

pub use element::{LegsAlong, Soil, StepsSupport, TieJoint};
pub use pour::{Bleeding, Cement, WindAt};
pub use steel::{Bar, LapRule, Wire};
pub use survey::{LevelDirection, SurveyDatum, SurveyLayer, SurveySide, SurveyStage};

choices! {
    /// Whether a piece is built by this job or stands already and is only judged.
    Work {
        /// Poured by this job.
        New = "new",
        /// There already: judged, not taken off.
        Existing = "existing",
    }
    /// Who supplies and does a thing.
    By {
        /// Our crew, at our price.
        Us = "us",
        /// Somebody else altogether.
        Others = "others",
        /// Others buy it, our crew installs it.
        OthersSupplyWeInstall = "others_supply_we_install",
    }
    /// Whether the crew works for a general contractor or for the owner.
    Scope {
        /// Under a general contractor.
        Sub = "sub",
        /// Directly for the owner.
        Prime = "prime",
    }
    /// How an input is known.
    Basis {
        /// Measured on site by us.
        Taped = "taped",
        /// Read off a drawing.
        Drawing = "drawing",
        /// Somebody said so.
        Told = "told",
    }
    /// Freezing and thawing class (ACI 318-19 Table 19.3.1.1).
    Exposure {
        /// No freezing and thawing.
        F0 = "F0",
        /// Freezing and thawing, limited water.
        F1 = "F1",
        /// Freezing and thawing, frequent water.
        F2 = "F2",
        /// F2 and de-icing salts.
        F3 = "F3",
    }
    /// How things get from the truck to the work.
    Access {
        /// A barrow rolls, and two people carry a board.
        Open = "open",
        /// By hand round corners, up steps or through a door.
        Limited = "limited",
    }
    /// What carries the slab.
    Support {
        /// On stone on the ground.
        OnGrade = "on_grade",
        /// On fill between walls that stand already.
        BetweenWalls = "between_walls",
        /// Concrete down to the foot's level.
        Solid = "solid",
    }
    /// What a stated width is.
    WidthIs {
        /// Overall concrete.
        Slab = "slab",
        /// Between rails or curbs.
        Clear = "clear",
        /// Between the faces of two walls.
        BetweenWalls = "between_walls",
    }
    /// What a stated rise ends at.
    RiseTo {
        /// The top of the slab at the head.
        Slab = "slab",
        /// The top of the door's threshold.
        Threshold = "threshold",
    }
    /// How a length was taped.
    Measured {
        /// Horizontally.
        Plan = "plan",
        /// Along the sloping surface.
        Surface = "surface",
    }
    /// Where the next run leaves a landing, as seen walking up.
    Turn {
        /// Straight on.
        Straight = "straight",
        /// To the left.
        Left = "left",
        /// To the right.
        Right = "right",
        /// Back beside the arriving run, on its left.
        BackLeft = "back_left",
        /// Back beside the arriving run, on its right.
        BackRight = "back_right",
    }
    /// A side, as seen walking up.
    Side {
        /// The left one.
        Left = "left",
        /// The right one.
        Right = "right",
    }
    /// An edge of one piece, as seen walking up.
    EdgeName {
        /// The lower end.
        Start = "start",
        /// The upper end.
        End = "end",
        /// The left side.
        Left = "left",
        /// The right side.
        Right = "right",
    }
    /// What stands at an edge.
    EdgeKind {
        /// A form board on stakes; the finished edge stays open.
        Formed = "formed",
        /// A wall; an isolation joint, no form.
        AgainstWall = "against_wall",
        /// A form board fixed to an existing wall with concrete screws; the finished edge stays open.
        FormOnWall = "form_on_wall",
        /// An existing walk or slab at the same level; an isolation joint, no form.
        AgainstWalk = "against_walk",
    }
    /// Which way a door opens.
    Opens {
        /// Over the landing (the pull side is on the landing).
        OntoLanding = "onto_landing",
        /// Away from the landing (the push side is on the landing).
        Away = "away",
    }
    /// From where a person comes to the door.
    Approach {
        /// Straight on.
        Front = "front",
        /// From the hinge side.
        Hinge = "hinge",
        /// From the latch side.
        Latch = "latch",
    }
    /// How a slab's thickness is measured.
    ThicknessMeasured {
        /// Square to the surface.
        SquareToSurface = "square_to_surface",
        /// Plumb.
        Vertical = "vertical",
    }
    /// How the surface is finished.
    Finish {
        /// Rough broom across travel.
        Broom = "broom",
        /// Float.
        Float = "float",
        /// Exposed aggregate.
        Exposed = "exposed",
    }
    /// How concrete waste is allowed for when no percentage is given.
    WasteRule {
        /// A fixed loss and a depth error below the handbook's size, the handbook's percent above.
        BySize = "by_size",
        /// The handbook percentages, whatever the size.
        Handbook = "handbook",
    }
    /// Stone of one named kind.
    Stone {
        /// Dense-graded crushed stone.
        DenseGraded = "dense_graded_stone",
        /// Clean 3/4-in stone that drains.
        Clean = "clean_stone",
    }
    /// Insulation board class (ASTM C578).
    BoardClass {
        /// Extruded, type IV, 25 psi.
        XpsIv = "XPS IV",
    }
    /// Length of a stock bar.
    BarStock {
        /// As a yard keeps it.
        Ft20 = "20 ft",
        /// As a mill sends it.
        Ft40 = "40 ft",
    }
    /// Length of a form board.
    BoardStock {
        /// Short.
        Ft10 = "10 ft",
        /// Middling.
        Ft12 = "12 ft",
        /// Long.
        Ft16 = "16 ft",
    }
    /// How bars are counted across a width.
    BarCount {
        /// Between the edge covers, rounded up: the spacing is never exceeded.
        Net = "net",
        /// Spacings of the whole width, rounded down, and one.
        Gross = "gross",
    }
    /// How contraction joints are made.
    JointMethod {
        /// Sawn.
        Sawn = "sawn",
        /// Tooled into the fresh concrete.
        Tooled = "tooled",
    }
    /// Which saw.
    Saw {
        /// Light early-entry saw.
        EarlyEntry = "early_entry",
        /// Conventional wet saw.
        Conventional = "conventional",
    }
    /// How the concrete is cured.
    CuringMethod {
        /// A wet cover.
        WetCover = "wet_cover",
        /// A sprayed membrane.
        Compound = "compound",
    }
    /// Sealer by its kind.
    SealerProduct {
        /// Penetrating silane.
        Silane = "silane",
        /// Penetrating siloxane.
        Siloxane = "siloxane",
        /// Silicate densifier.
        Silicate = "silicate",
        /// Acrylic film.
        Acrylic = "acrylic",
    }
    /// How concrete gets from the truck into the forms.
    Placing {
        /// Down the truck's chute.
        Chute = "chute",
        /// By wheelbarrow.
        Barrow = "barrow",
        /// By power buggy.
        Buggy = "buggy",
        /// By line pump.
        Pump = "pump",
        /// Mixed from bags on site.
        Bags = "bags",
    }
    /// A class of worker.
    Class {
        /// Finishes concrete; may do everything.
        Finisher = "finisher",
        /// Helps; may not finish alone.
        Labourer = "labourer",
    }
    /// Who may leave a pour early.
    Release {
        /// Nobody; all wait for the concrete.
        None = "none",
        /// Helpers that nothing needs once the slab is struck off.
        AfterStrikeOff = "after_strike_off",
    }
    /// What sales tax is reckoned on.
    TaxBase {
        /// No tax.
        None = "none",
        /// We pay it on what we buy.
        Materials = "materials",
        /// It is added to our price.
        Price = "price",
    }
    /// How profit is stated.
    ProfitBasis {
        /// As a part of the price.
        Margin = "margin",
        /// As an addition to cost.
        Markup = "markup",
    }
    /// From whom to buy what several suppliers sell.
    Buying {
        /// From the preferred supplier of each item, else where one unit is cheapest.
        Preferred = "preferred",
        /// Where the whole order of this job comes cheapest, with deliveries, short loads, waiting
        /// and least orders.
        Cheapest = "cheapest",
    }
    /// The section of a handrail.
    RailShape {
        /// A round bar or pipe.
        Round = "round",
        /// Any other section.
        Other = "other",
    }
    /// How a level change is shaped.
    LevelShape {
        /// A plain vertical step.
        Vertical = "vertical",
        /// Bevelled.
        Bevelled = "bevelled",
    }
}

impl By {
    /// True when the price is ours to give, in whole or in part.
    pub const fn is_ours(self) -> bool {
        matches!(self, Self::Us | Self::OthersSupplyWeInstall)
    }
}

impl EdgeKind {
    /// True when a form board stands there and the finished edge is open.
    pub const fn is_formed(self) -> bool {
        matches!(self, Self::Formed | Self::FormOnWall)
    }
}
