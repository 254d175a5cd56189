//! What a job is: as it is sent, and with every question answered.
//!
//! Data flows one way here: `sent` (what a caller wrote) → `expand` (defaults from `fields.toml`,
//! bounds, faults) → `full` (what all other rooms compute from). Absent: prices, limits, I/O, the
//! clock (today arrives as an argument).

mod by_name;
mod choice;
mod day;
mod expand;
mod field;
mod fill;
mod full;
mod moment;
mod moved;
mod or_none;
mod pointer;
mod reading;
mod sent;
mod short;
mod spelled;
#[cfg(test)]
mod tests;
mod time_of_day;
mod usual;

pub use by_name::ByName;
pub use choice::{
    Access, Approach, Bar, BarCount, BarStock, Basis, Bleeding, BoardClass, BoardStock, Buying, By,
    Cement, Class, CuringMethod, EdgeKind, EdgeName, Exposure, Finish, JointMethod, LapRule,
    LegsAlong, LevelDirection, LevelShape, Measured, Opens, Placing, ProfitBasis, RailShape,
    Release, RiseTo, Saw, Scope, SealerProduct, Side, Soil, StepsSupport, Stone, Support,
    SurveyDatum, SurveyLayer, SurveySide, SurveyStage, TaxBase, ThicknessMeasured, TieJoint, Turn,
    WasteRule, WidthIs, WindAt, Wire, Work,
};
pub use day::Day;
pub use expand::{
    Expanded, expand, expand_grade_sheet, expand_pour, expand_survey, expand_unlisted,
};
pub use field::{FieldRow, Fields, Of};
pub use fill::Assumption;
pub use full::{
    Barrier, Base, Bend, BookChoice, BreakOut, CheekWalls, Concrete, Crew, Curb, CurbRamp,
    CurbRampBuild, Curing, Door, Earthwork, Edges, Element, Forms, FrostWall, GradeSheet,
    Handrails, Insulation, Job, Joints, Landing, LevelChange, Lip, Member, Piece, Pour,
    PriceChoice, Profit, RailSection, Ramp, Reinforcement, Requirement, Run, SalesTax, Sealer,
    Shot, Site, SiteWork, Slab, SlabElement, Steps, StepsBuild, Stretch, StripFooting, Survey,
    SurveyLimits, ThickenedEdge, TieIn, TurnDown, Walk, WalkElement, Weather, WeatherHour,
};
pub use moment::Moment;
pub use or_none::OrNone;
pub use reading::LevelReading;
pub(crate) use sent::sent;
pub use sent::{
    BarrierRequest, BaseRequest, BenchmarkRequest, BendRequest, BookRequest, BreakOutRequest,
    CheekWallsRequest, ConcreteRequest, CrewRequest, CurbRampBuildRequest, CurbRampRequest,
    CurbRequest, CuringRequest, DoorRequest, EarthworkRequest, EdgesRequest, ElementRequest,
    FormsRequest, GradeSheetRequest, HandrailsRequest, InsulationRequest, JobRequest,
    JointsRequest, LevelChangeRequest, LipRequest, MemberRequest, PathRequest, PourRequest,
    PriceRequest, ProfitRequest, RailSectionRequest, RampRequest, ReinforcementRequest,
    RequirementRequest, SalesTaxRequest, SealerRequest, ShotRequest, SiteRequest, SiteWorkRequest,
    SlabRequest, StepsBuildRequest, StepsRequest, StretchRequest, SurveyLimitsRequest,
    SurveyRequest, SurveyUncertaintyRequest, WalkRequest, WeatherHourRequest,
};
pub use short::{ShortColumn, ShortHeading, ShortJob, ShortKind, short_columns};
pub(crate) use time_of_day::DAY_MINUTES;
pub use time_of_day::TimeOfDay;
pub use usual::{AirRow, ExposureRow};
