//! What a job is: as it is sent, and with every question answered.
//!
//! Data flows one way here: `sent` (what a caller wrote) → `expand` (defaults from `fields.toml`,
//! bounds, faults) → `full` (what all other rooms compute from). Absent: prices, limits, I/O, the
//! clock (today arrives as an argument).

mod choice;
mod day;
mod expand;
mod field;
mod fill;
mod full;
mod moved;
mod or_none;
mod pointer;
mod reading;
mod sent;
mod short;
#[cfg(test)]
mod tests;

pub use choice::{
    Approach, Bar, BarCount, Basis, BoardClass, Buying, By, Class, CuringMethod, EdgeKind,
    EdgeName, Exposure, Finish, JointMethod, LevelDirection, LevelShape, Measured, Opens, Placing,
    ProfitBasis, RailShape, RiseTo, Saw, Scope, SealerProduct, Side, Stone, Support, SurveyDatum,
    SurveyLayer, SurveySide, SurveyStage, TaxBase, ThicknessMeasured, Turn, WasteRule, WidthIs,
    Work,
};
pub use day::Day;
pub use expand::{Expanded, expand, expand_grade_sheet, expand_survey, expand_unlisted};
pub use field::{FieldRow, Fields, Of};
pub use fill::Assumption;
pub use full::{
    Barrier, Base, BookChoice, Concrete, Crew, Curb, CurbRamp, Curing, Door, Edges, Forms,
    GradeSheet, Handrails, Insulation, Job, Joints, Landing, LevelChange, Member, Piece,
    PriceChoice, Profit, RailSection, Ramp, Reinforcement, Requirement, Run, SalesTax, Sealer,
    Shot, Site, SiteWork, Slab, Steps, Survey, SurveyLimits, Walk,
};
pub use or_none::OrNone;
pub use reading::LevelReading;
pub use sent::{
    BarrierRequest, BaseRequest, BenchmarkRequest, BookRequest, ConcreteRequest, CrewRequest,
    CurbRampRequest, CurbRequest, CuringRequest, DoorRequest, EdgesRequest, FormsRequest,
    GradeSheetRequest, HandrailsRequest, InsulationRequest, JobRequest, JointsRequest,
    LevelChangeRequest, MemberRequest, PathRequest, PriceRequest, ProfitRequest,
    RailSectionRequest, RampRequest, ReinforcementRequest, RequirementRequest, SalesTaxRequest,
    SealerRequest, ShotRequest, SiteRequest, SiteWorkRequest, SlabRequest, StepsRequest,
    SurveyLimitsRequest, SurveyRequest, SurveyUncertaintyRequest, WalkRequest,
};
pub use short::{ShortColumn, ShortHeading, ShortJob, ShortKind, short_columns};
