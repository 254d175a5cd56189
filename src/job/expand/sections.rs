//! The sections of a job beside the ramp: slab, base, steel, joints, curing, sealer, crew.
//!
//! Invariant: a section left out is filled as if it had been sent empty; `none` means none.

use super::by_scope;
use super::reinforcement::expand_stock;
use crate::job::choice::{
    BoardClass, BoardStock, By, Class, CuringMethod, Exposure, Finish, JointMethod, Placing,
    Release, Saw, Scope, SealerProduct, Stone, ThicknessMeasured, WasteRule,
};
use crate::job::fill::{Fill, Place};
use crate::job::full::{
    Base, Concrete, Crew, Curing, Forms, Insulation, Joints, Member, Requirement, Sealer, SiteWork,
    Slab,
};
use crate::job::or_none::OrNone;
use crate::job::sent::{
    BaseRequest, ConcreteRequest, CrewRequest, CuringRequest, FormsRequest, InsulationRequest,
    JointsRequest, MemberRequest, RequirementRequest, SealerRequest, SiteWorkRequest, SlabRequest,
};
use crate::quantity::{Length, Percent, System, ceil_to};

pub(super) fn expand_slab(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: Option<SlabRequest>,
    exposure: Exposure,
) -> Slab {
    let sent = sent.unwrap_or_default();
    Slab {
        thickness: fill.quantity(&place.field("thickness"), sent.thickness),
        thickness_measured: fill.choice(
            &place.field("thickness_measured"),
            sent.thickness_measured,
            ThicknessMeasured::SquareToSurface,
        ),
        concrete: expand_concrete(fill, &place.field("concrete"), sent.concrete, exposure),
        finish: fill.choice(&place.field("finish"), sent.finish, Finish::Broom),
        waste: fill.optional(&place.field("waste"), sent.waste),
        waste_rule: fill.choice(
            &place.field("waste_rule"),
            sent.waste_rule,
            WasteRule::BySize,
        ),
    }
}

fn expand_concrete(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: Option<ConcreteRequest>,
    exposure: Exposure,
) -> Concrete {
    let sent = sent.unwrap_or_default();
    let row = fill
        .fields
        .exposure(exposure)
        .expect("every exposure class has a row, a test reads them");
    let aggregate = fill.quantity(&place.field("aggregate"), sent.aggregate);
    let air = fill
        .fields
        .air(aggregate)
        .map_or(Percent::ZERO, |row| row.target(exposure));
    Concrete {
        strength: fill.quantity_else(&place.field("strength"), sent.strength, row.strength),
        air: fill.quantity_else(&place.field("air"), sent.air, air),
        aggregate,
        slump: fill.quantity(&place.field("slump"), sent.slump),
    }
}

/// What an `OrNone` section comes to: as sent, or empty so that it is filled, or nothing.
pub(super) fn section<T: Default>(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: Option<OrNone<T>>,
) -> Option<T> {
    match sent {
        None => {
            fill.assume_whole(place);
            Some(T::default())
        }
        Some(sent) => sent.into_option(),
    }
}

pub(super) fn expand_base(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: Option<OrNone<BaseRequest>>,
) -> OrNone<Base> {
    let sent = section(fill, place, sent);
    sent.map(|sent| Base {
        by: fill.choice(&place.field("by"), sent.by, By::Us),
        material: fill.choice(&place.field("material"), sent.material, Stone::DenseGraded),
        depth: fill.quantity(&place.field("depth"), sent.depth),
        beyond_edge: fill.quantity(&place.field("beyond_edge"), sent.beyond_edge),
        waste: fill.quantity(&place.field("waste"), sent.waste),
    })
    .into()
}

pub(super) fn expand_insulation(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: Option<OrNone<InsulationRequest>>,
) -> OrNone<Insulation> {
    let Some(sent) = sent else {
        fill.assume(place, "none".to_owned());
        return OrNone::None;
    };
    sent.into_option()
        .map(|sent| Insulation {
            by: fill.choice(&place.field("by"), sent.by, By::Us),
            class: fill.choice(&place.field("class"), sent.class, BoardClass::XpsIv),
            thickness: fill.quantity(&place.field("thickness"), sent.thickness),
        })
        .into()
}

/// The width of isolation filler, which is needed before the rest of the joints.
pub(super) fn expand_joints_filler(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: &Option<JointsRequest>,
) -> Length {
    fill.quantity(
        &place.field("filler"),
        sent.as_ref().and_then(|sent| sent.filler),
    )
}

pub(super) fn expand_joints(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: Option<JointsRequest>,
    (filler, thickness): (Length, Length),
) -> Joints {
    let sent = sent.unwrap_or_default();
    // A quarter of the thickness on the tape, and never less than an early-entry saw's inch.
    let quarter = ceil_to(thickness.inches() / 4.0, 0.25).max(1.0);
    let depth = place.field("depth");
    let joints = Joints {
        method: fill.choice(&place.field("method"), sent.method, JointMethod::Sawn),
        saw: fill.choice(&place.field("saw"), sent.saw, Saw::EarlyEntry),
        spacing: fill.quantity(&place.field("spacing"), sent.spacing),
        slack: fill.quantity(&place.field("slack"), sent.slack),
        depth: fill.quantity_else(&depth, sent.depth, Length::from_inches(quarter)),
        filler,
        sealed: fill.flag(&place.field("sealed"), sent.sealed, true),
        sealant_depth: fill.quantity_else(
            &place.field("sealant_depth"),
            sent.sealant_depth,
            fill.fields.sealant_depth(filler, fill.system),
        ),
    };
    if joints.depth.at_least(thickness) && !thickness.is_zero() {
        let found = joints.depth.tape(fill.system);
        fill.fault(&depth, &found, "less than the slab's thickness", "1 1/4 in");
    }
    joints
}

pub(super) fn expand_curing(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: Option<CuringRequest>,
) -> Curing {
    let sent = sent.unwrap_or_default();
    Curing {
        by: fill.choice(&place.field("by"), sent.by, By::Us),
        method: fill.choice(&place.field("method"), sent.method, CuringMethod::WetCover),
        coverage: fill.quantity(&place.field("coverage"), sent.coverage),
        duration: fill.quantity(&place.field("duration"), sent.duration),
    }
}

pub(super) fn expand_sealer(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: Option<OrNone<SealerRequest>>,
    finish: Finish,
) -> OrNone<Sealer> {
    let sent = section(fill, place, sent);
    sent.map(|sent| {
        let product = fill.choice(&place.field("product"), sent.product, SealerProduct::Silane);
        let row = fill
            .fields
            .sealer(product)
            .expect("every sealer has a row, a test reads them");
        let coverage = match fill.system {
            System::Us => row.coverage,
            System::Metric => row.coverage_metric,
        };
        Sealer {
            by: fill.choice(&place.field("by"), sent.by, By::Us),
            product,
            coverage: fill.quantity_else(
                &place.field("coverage"),
                sent.coverage,
                coverage * fill.fields.texture(finish),
            ),
            earliest_age: fill.quantity_else(
                &place.field("earliest_age"),
                sent.earliest_age,
                row.age,
            ),
            waste: fill.quantity(&place.field("waste"), sent.waste),
        }
    })
    .into()
}

pub(super) fn expand_forms(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: Option<FormsRequest>,
) -> Forms {
    let sent = sent.unwrap_or_default();
    Forms {
        screw_spacing: fill.quantity(&place.field("screw_spacing"), sent.screw_spacing),
        stock: expand_stock(fill, &place.field("stock"), sent.stock, BoardStock::ALL),
        curved: fill.quantity(&place.field("curved"), sent.curved),
    }
}

pub(super) fn expand_crew(fill: &mut Fill, place: &Place<'_>, sent: Option<CrewRequest>) -> Crew {
    let sent = sent.unwrap_or_default();
    Crew {
        members: expand_members(fill, &place.field("members"), sent.members),
        day: fill.quantity(&place.field("day"), sent.day),
        placing: fill.choice(&place.field("placing"), sent.placing, Placing::Chute),
        travel: fill.quantity(&place.field("travel"), sent.travel),
        least_hours: fill.quantity(&place.field("least_hours"), sent.least_hours),
        pour_presence: fill.quantity(&place.field("pour_presence"), sent.pour_presence),
        release: fill.choice(&place.field("release"), sent.release, Release::None),
        daily_limit: fill.optional(&place.field("daily_limit"), sent.daily_limit),
        wages: super::name_of(fill, &place.field("wages"), sent.wages, "own"),
        first_of_its_kind: fill.flag(
            &place.field("first_of_its_kind"),
            sent.first_of_its_kind,
            false,
        ),
    }
}

/// Most people of one crew.
const PEOPLE_AT_MOST: u32 = 12;

fn expand_members(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: Option<Vec<MemberRequest>>,
) -> Vec<Member> {
    let Some(sent) = sent else {
        fill.assume(place, "1 finisher, 2 labourers".to_owned());
        return vec![
            Member {
                class: Class::Finisher,
                count: 1,
            },
            Member {
                class: Class::Labourer,
                count: 2,
            },
        ];
    };
    let people = sent
        .iter()
        .fold(0_u32, |sum, member| sum.saturating_add(member.count));
    let finishers = sent
        .iter()
        .any(|m| m.class == Class::Finisher && m.count > 0);
    if people == 0 || people > PEOPLE_AT_MOST || !finishers {
        let example =
            "[{\"class\": \"finisher\", \"count\": 1}, {\"class\": \"labourer\", \"count\": 2}]";
        let found = format!("{people} people");
        fill.fault(
            place,
            &found,
            "1 to 12 people, at least one of them a finisher",
            example,
        );
    }
    sent.into_iter()
        .map(|sent| Member {
            class: sent.class,
            count: sent.count,
        })
        .collect()
}

pub(super) fn expand_requirements(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: Option<Vec<RequirementRequest>>,
) -> Vec<Requirement> {
    let sent = sent.unwrap_or_default();
    let mut requirements = Vec::with_capacity(sent.len());
    for (index, sent) in sent.into_iter().enumerate() {
        let place = place.index(index);
        let stated = [
            sent.hours_per_person.is_some(),
            sent.fee.is_some(),
            sent.percent.is_some(),
        ];
        if stated.iter().filter(|stated| **stated).count() != 1 {
            let accepted = "exactly one of hours_per_person, fee and percent";
            fill.fault(
                &place,
                &sent.name,
                accepted,
                "{\"name\": \"induction\", \"hours_per_person\": \"1 h\"}",
            );
        }
        fill.check_words(&place.field("name"), &sent.name, (80, "induction"));
        requirements.push(Requirement {
            hours_per_person: fill
                .optional(&place.field("hours_per_person"), sent.hours_per_person),
            percent: fill.optional(&place.field("percent"), sent.percent),
            name: sent.name,
            fee: sent.fee,
        });
    }
    requirements
}

pub(super) fn expand_site_work(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: Option<SiteWorkRequest>,
    scope: Scope,
) -> SiteWork {
    let by = by_scope(scope);
    let sent = sent.unwrap_or_else(|| {
        fill.assume(place, by.to_string());
        SiteWorkRequest::default()
    });
    SiteWork {
        fill: sent.fill.unwrap_or(by),
        backfill: sent.backfill.unwrap_or(by),
        paving: sent.paving.unwrap_or(by),
        permit: sent.permit.unwrap_or(by),
        locate: sent.locate.unwrap_or(by),
        traffic_control: sent.traffic_control.unwrap_or(by),
    }
}
