//! The rooms, in the order in which data flows, and what each may know.
//!
//! Invariants: this is the one table of rooms; nothing stands in `src` that is not in it; a room
//! that is not built yet may stand here.

/// Which rooms a room may name.
pub(super) enum May {
    /// These.
    Only(&'static [&'static str]),
    /// All that stand above it.
    Above,
}

/// One room.
pub(super) struct Room {
    pub(super) name: &'static str,
    pub(super) may: May,
    /// Values in, values out: no I/O, clock, logging, web or database types.
    pub(super) pure: bool,
    /// Words of its own that its code may not hold.
    pub(super) never: &'static [&'static str],
}

const fn pure(name: &'static str, may: May) -> Room {
    Room {
        name,
        may,
        pure: true,
        never: &[],
    }
}

const fn outer(name: &'static str, may: May, never: &'static [&'static str]) -> Room {
    Room {
        name,
        may,
        pure: false,
        never,
    }
}

/// The table.
#[rustfmt::skip]
pub(super) const ROOMS: &[Room] = &[
    pure("quantity", May::Only(&[])),
    // What a cell means is none of its business.
    Room { never: &["Job", "PriceList"], ..pure("sheet", May::Only(&["quantity"])) },
    pure("job", May::Only(&["quantity"])),
    pure("catalog", May::Only(&["quantity"])),
    // What is ordered is none of a single job's business here.
    pure("loads", May::Only(&["quantity", "job", "catalog"])),
    pure("geometry", May::Only(&["quantity", "job"])),
    pure("rules", May::Only(&["quantity", "job", "geometry"])),
    // What it costs is none of its business.
    Room { never: &["Amount", "UnitPrice", "PriceList"], ..pure("takeoff", May::Only(&["quantity", "job", "catalog", "geometry"])) },
    pure("setting", May::Only(&["quantity", "job"])),
    pure("crew", May::Only(&["quantity", "job", "catalog", "geometry", "takeoff", "setting"])),
    pure("pour", May::Only(&["quantity", "job", "catalog", "geometry", "takeoff", "setting", "crew"])),
    pure("price", May::Only(&["quantity", "job", "catalog", "geometry", "takeoff", "crew", "pour"])),
    pure("estimate", May::Above),
    pure("figures", May::Above),
    pure("batch", May::Above),
    pure("layout", May::Above),
    // Nothing is priced again: no catalog of prices, no takeoff.
    Room { never: &["PriceList"], ..pure("answered", May::Only(&["quantity", "job", "catalog"])) },
    Room { never: &["PriceList"], ..pure("billing", May::Only(&["quantity", "job", "catalog", "estimate", "answered"])) },
    pure("change", May::Above),
    Room { never: &["PriceList"], ..pure("cost", May::Only(&["quantity", "job", "catalog", "answered", "billing"])) },
    // What it costs us is none of a customer's business.
    Room { never: &["PriceList"], ..pure("proposal", May::Only(&["quantity", "job", "geometry", "answered", "billing"])) },
    Room { never: &["PriceList"], ..pure("handover", May::Only(&["quantity", "job", "catalog", "rules", "takeoff", "estimate", "answered", "billing"])) },
    pure("documents", May::Above),
    outer("book", May::Only(&["quantity", "catalog", "sheet"]), &["actix_web", "reqwest", "utoipa"]),
    // The rows of weather that it gives are the job's.
    outer("clients", May::Only(&["quantity", "job", "catalog", "setting", "documents"]), &["actix_web", "sqlx"]),
    outer("meter", May::Only(&["batch", "book"]), &["actix_web", "sqlx", "reqwest"]),
    outer("config", May::Above, &["sqlx"]),
    outer("local_rules", May::Above, &["sqlx"]),
    outer("http", May::Above, &["sqlx", "reqwest"]),
    // The line of a request holds what the web room knows of it.
    outer("telemetry", May::Above, &["sqlx"]),
    outer("startup", May::Above, &["sqlx"]),
    outer("cli", May::Above, &["sqlx"]),
    outer("main", May::Above, &["sqlx"]),
];

/// The room of a name.
pub(super) fn room(name: &str) -> Option<&'static Room> {
    ROOMS.iter().find(|room| room.name == name)
}

/// Whether one room may name another.
pub(super) fn may_name(room: &Room, other: &str) -> bool {
    let above = || ROOMS.iter().take_while(|each| each.name != room.name);
    other == room.name
        || match room.may {
            May::Only(names) => names.contains(&other),
            May::Above => above().any(|each| each.name == other),
        }
}

#[test]
fn no_room_names_one_below_itself() {
    for (place, room) in ROOMS.iter().enumerate() {
        let May::Only(names) = room.may else {
            continue;
        };
        for name in names {
            let at = ROOMS.iter().position(|other| other.name == *name);
            assert!(
                at.is_some_and(|at| at < place),
                "{} names {name}",
                room.name
            );
        }
    }
}

#[test]
fn no_pure_room_names_an_outer_one() {
    for room in ROOMS.iter().filter(|room| room.pure) {
        for other in ROOMS.iter().filter(|other| !other.pure) {
            assert!(
                !may_name(room, other.name),
                "{} names {}",
                room.name,
                other.name
            );
        }
    }
}
