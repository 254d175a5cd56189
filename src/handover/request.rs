//! What is handed over, as it is sent.
//!
//! Invariant: what is not told is said to be open, never made up. Absent: what comes of it.

use crate::answered::Answered;
use crate::billing::Party;
use crate::job::{Day, JobRequest, SealerProduct, TimeOfDay};
use crate::quantity::{Faults, Length, Percent, Stress, Temperature, Volume};

/// Gives a part of a request its two readers and its schema.
macro_rules! handed {
    ($($(#[$doc:meta])* $name:ident {
        required { $($(#[$rdoc:meta])* $rfield:ident: $rty:ty,)* }
        optional { $($(#[$odoc:meta])* $ofield:ident: $oty:ty,)* }
    })+) => { $(
        $(#[$doc])*
        #[derive(Clone, Debug, PartialEq, serde::Deserialize, deserr::Deserr)]
        #[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
        #[serde(deny_unknown_fields)]
        #[deserr(error = Faults, deny_unknown_fields)]
        pub struct $name {
            $($(#[$rdoc])* pub $rfield: $rty,)*
            $($(#[$odoc])* #[serde(default)] #[deserr(default)] pub $ofield: Option<$oty>,)*
        }
    )+ };
}

handed! {
    /// A finished ramp, to be handed over.
    HandoverRequest {
        required {
            /// The job; with a `survey` of the stage `poured`, where the ramp was measured.
            job: JobRequest,
            /// Day of the pour.
            poured_on: Day,
            /// Who built it.
            seller: Party,
            /// Who takes it over.
            buyer: Party,
        }
        optional {
            /// Number of this document.
            number: String,
            /// Day of the handover; today where left out.
            handed_over_on: Day,
            /// Day on which the forms came off.
            forms_off_on: Day,
            /// Day on which the joints were sawn.
            sawn_on: Day,
            /// What the plant was asked for, where it was not what the job says.
            mix: HandoverMixRequest,
            /// Delivery tickets of the concrete; at most 60.
            tickets: Vec<TicketRequest>,
            /// The sealer, where it is on.
            sealer: SealedRequest,
            /// What is warranted; left out where nothing is.
            warranty: WarrantyRequest,
            /// The priced answer that the job was built by, as it came: of the same ramp where the answer holds
            /// its job (`?job=true`), else of a job of the same name.
            estimate: Answered,
        }
    }

    /// A mix as it was ordered.
    HandoverMixRequest {
        required {
            /// Strength at 28 days.
            strength: Stress,
        }
        optional {
            /// Air.
            air: Percent,
            /// The plant's name of it.
            name: String,
        }
    }

    /// A delivery ticket.
    TicketRequest {
        required {
            /// Its number.
            number: String,
            /// What was delivered.
            volume: Volume,
        }
        optional {
            /// The plant.
            plant: String,
            /// The truck.
            truck: String,
            /// When it was batched.
            batched: TimeOfDay,
            /// When the truck was empty.
            emptied: TimeOfDay,
            /// Slump, as tested or as the ticket has it.
            slump: Length,
            /// Air, the same.
            air: Percent,
            /// Temperature of the concrete.
            temperature: Temperature,
        }
    }

    /// A sealer that is on.
    SealedRequest {
        required {
            /// Day on which it was put on.
            applied_on: Day,
        }
        optional {
            /// Kind; the job's where left out.
            product: SealerProduct,
            /// Who put it on.
            by: String,
        }
    }

    /// What is warranted.
    WarrantyRequest {
        required {
            /// For so many whole years.
            years: u32,
        }
        optional {
            /// From this day on; the day of the handover where left out.
            from: Day,
        }
    }
}
