//! Books as tables: what goes out comes in without a change, and every fault is named.

use super::*;
use crossfall::book::table::{
    Kind, Known, Layout, Mapping, Plan, RowFaults, Written, plan, write_rows,
};
use crossfall::sheet::{Cell, CsvWriter, Dialect, Limits, read_csv};

const LIMITS: Limits = Limits {
    rows: 1_000,
    row_bytes: 10_000,
    columns: 100,
    unfolded_bytes: 1_000_000,
};

fn import(list: &PriceList, kind: Kind, text: &str) -> Result<Plan, RowFaults> {
    mapped(list, kind, (text, &Mapping::default()))
}

fn mapped(
    list: &PriceList,
    kind: Kind,
    (text, mapping): (&str, &Mapping),
) -> Result<Plan, RowFaults> {
    let table = read_csv(text.as_bytes(), None, &LIMITS).expect("a table");
    let (heading, dialect) = (table.heading.clone(), table.dialect);
    let layout = Layout::of(kind, heading.names(), mapping, |name| heading.find(name));
    let layout = layout.unwrap_or_else(|faults| panic!("{faults}"));
    let known = Known {
        list,
        tasks: &["finish", "layout"],
        classes: &["finisher", "labourer"],
    };
    plan(table.rows(), (&layout, dialect), known)
}

fn export(list: &PriceList, kind: Kind, dialect: Dialect) -> String {
    let mut writer = CsvWriter::new(Vec::new(), dialect);
    let heading: Vec<Cell> = kind
        .columns()
        .iter()
        .map(|column| Cell::Text(column.name))
        .collect();
    writer.write(&heading).expect("written");
    for row in write_rows(kind, list) {
        let cells: Vec<Cell> = row
            .iter()
            .map(|cell| match cell {
                Written::Text(text) => Cell::Text(text),
                Written::Number(number) => Cell::Number(number),
                Written::Blank => Cell::Empty,
            })
            .collect();
        writer.write(&cells).expect("written");
    }
    String::from_utf8(writer.finish().expect("finished")).expect("UTF-8")
}

/// A book with something in every column.
fn rich() -> PriceList {
    let list = list_of(&demo(), "2026-05-04");
    let mut change = Change::default();
    for (kind, text) in [
        (
            Kind::Suppliers,
            "supplier,supplier_name,minimum_order,short_load_steps,zones\nhill,\"Hill, \"\"the\"\" yard\",150,2 = 140; 4.5 = 90.25,A = 40; B = 65\n",
        ),
        (
            Kind::Prices,
            "item,description,class,sale_unit,order_step,holds,holds_unit,charge,uses,pay_step,preferred_supplier,index,supplier,supplier_name,from_quantity,unit_price,effective_from,valid_until,quoted_for\n\
            pea,=Pea gravel,material,ton,0.25,0.7407,yd3,from_stock,3,0.05,hill,stone,hill,\"Hill, \"\"the\"\" yard\",0,41.2345,2026-03-02,,\n\
            pea,,,,,,,,,,,,hill,,20,38,2026-03-02,2026-12-31,\n\
            pea,,,,,,,,,,,,hill,,,35,2026-04-01,2026-06-30,\"Mill lane, east\"\n",
        ),
        (
            Kind::Wages,
            "schedule,class,effective_from,base,fringe,overtime_premium,burdens\ncounty,labourer,2026-01-01,52,21.4,100 %,payroll tax = 7.65 % + premium; tools = 2.5\n",
        ),
        (
            Kind::Rates,
            "task,setup_min,low_min,likely_min,high_min\nfinish,10,0.5,0.75,1.25\n",
        ),
        (
            Kind::Indices,
            "series,month,value\nstone,2026-03,180.306\nstone,2026-04-01,181\n",
        ),
    ] {
        let read =
            import(&list, kind, text).unwrap_or_else(|faults| panic!("{kind}: {}", faults.told));
        let part = read.change;
        change.suppliers.extend(part.suppliers);
        change.items.extend(part.items);
        change.prices.extend(part.prices);
        change.wages.extend(part.wages);
        change.rates.extend(part.rates);
        change.indices.extend(part.indices);
    }
    change
        .suppliers
        .dedup_by(|one, other| one.code == other.code);
    change.suppliers.truncate(1);
    list_of(&write(&demo(), &change), "2026-05-04")
}

#[test]
fn a_table_that_goes_round_changes_nothing() {
    let list = rich();
    for kind in Kind::ALL {
        for delimiter in [
            crossfall::sheet::Delimiter::Comma,
            crossfall::sheet::Delimiter::Semicolon,
            crossfall::sheet::Delimiter::Tab,
        ] {
            let text = export(&list, *kind, Dialect { delimiter });
            let again = import(&list, *kind, &text)
                .unwrap_or_else(|faults| panic!("{kind}: {}\n{text}", faults.told));
            assert!(again.change.is_empty(), "{kind}: {:?}", again.difference);
            assert!(again.difference.rows > 0, "{kind} has rows");
        }
    }
}

#[test]
fn what_a_table_says_is_what_the_book_holds() {
    let list = rich();
    let pea = list.item("pea").expect("known");
    assert_eq!(pea.description, "=Pea gravel");
    assert_eq!(pea.supplier.as_deref(), Some("hill"));
    let quote = list.quote_for("pea", decimal("20")).expect("priced");
    assert_eq!(quote.unit_price.to_string(), "38.00");
    let hill = list.supplier("hill").expect("known");
    assert_eq!((hill.short_load_steps.len(), hill.zones.len()), (2, 2));
    assert_eq!(
        list.own_rates()["finish"].minutes.expect("timed").likely,
        decimal("0.75")
    );
}

#[test]
fn a_blank_cell_leaves_what_is_known_and_none_empties_it() {
    let list = rich();
    let blank = import(
        &list,
        Kind::Prices,
        "item,description,holds\npea,Pea gravel,\n",
    )
    .expect("sound");
    let item = &blank.change.items[0];
    assert_eq!(
        (item.description.as_str(), item.holds.is_some()),
        ("Pea gravel", true)
    );
    let none = import(
        &list,
        Kind::Prices,
        "item,holds,preferred_supplier\npea,none,none\n",
    )
    .expect("sound");
    let item = &none.change.items[0];
    assert_eq!((item.holds, item.supplier.as_deref()), (None, None));
}

#[test]
fn a_supplier_s_own_headings_are_mapped_and_what_it_leaves_out_is_filled_in() {
    let list = list_of(&demo(), "2026-05-04");
    let pairs = |pairs: &[(&str, &str)]| {
        pairs
            .iter()
            .map(|(a, b)| ((*a).to_owned(), (*b).to_owned()))
            .collect()
    };
    let mapping = Mapping {
        columns: pairs(&[("item", "Our code"), ("unit_price", "Net, USD")]),
        values: pairs(&[
            ("supplier", "quarry-yard"),
            ("effective_from", "2026-06-01"),
        ]),
    };
    let text = "Our code;Net, USD;Remarks\nstone-dense-graded;36,25;spring\n";
    let read = mapped(&list, Kind::Prices, (text, &mapping))
        .unwrap_or_else(|faults| panic!("{}", faults.told));
    assert_eq!(
        read.change.prices,
        [price(
            "stone-dense-graded",
            "quarry-yard",
            "36.25",
            "2026-06-01"
        )]
    );
    assert!(read.change.items.is_empty() && read.change.suppliers.is_empty());
    let changed = &read.difference.told[0];
    assert_eq!((changed.row, changed.what, changed.new), (2, "price", true));
}

#[test]
fn a_mapping_of_what_is_not_there_is_refused_by_name() {
    let names = ["code".to_owned(), "net".to_owned()];
    let of = |columns: &[(&str, &str)]| {
        let columns = columns
            .iter()
            .map(|(a, b)| ((*a).to_owned(), (*b).to_owned()))
            .collect();
        let mapping = Mapping {
            columns,
            ..Mapping::default()
        };
        let found = Layout::of(Kind::Prices, &names, &mapping, |name| {
            names.iter().position(|own| own == name)
        });
        found
            .map(|layout| layout.ignored)
            .map_err(|faults| faults.to_string())
    };
    assert_eq!(
        of(&[("item", "code"), ("unit_price", "net")]),
        Ok(Vec::new())
    );
    assert_eq!(of(&[("item", "code")]), Ok(vec!["net".to_owned()]));
    assert!(
        of(&[("item", "codes")])
            .expect_err("no such heading")
            .contains("code, net")
    );
    assert!(
        of(&[("item", "code"), ("prise", "net")])
            .expect_err("no such column")
            .contains("/columns[prise]")
    );
    assert!(
        of(&[])
            .expect_err("no item")
            .contains("columns[item]=HEADING")
    );
}

#[test]
fn every_bad_row_is_named_and_nothing_is_taken() {
    let list = list_of(&demo(), "2026-05-04");
    let text = "item,unit_price,supplier,effective_from,sale_unit\n\
        stone-dense-graded,36.00,quarry-yard,2026-06-01,ton\n\
        stone-dense-graded,\"1,036.00\",quarry-yard,2026-06-02,\n\
        Stone,36.00,quarry-yard,2026-06-01,\n\
        \n\
        stone-clean-3-4in,39,nobody,2026-06-31,\n\
        new-thing,1,quarry-yard,2026-06-01,ton\n\
        stone-dense-graded,37.00,quarry-yard,2026-06-01,ton\n";
    let faults = import(&list, Kind::Prices, text).expect_err("faults");
    assert_eq!(faults.rows, [3, 4, 6, 7, 8]);
    assert_eq!(faults.rows_text(), "3-4, 6-8");
    let told = |row: u32| -> Vec<(String, String)> {
        let of = faults.told.0.iter().filter(|fault| fault.row == Some(row));
        of.map(|fault| {
            (
                String::from(fault.column.clone().unwrap_or_default()),
                fault.accepted.clone(),
            )
        })
        .collect()
    };
    assert!(
        told(3)[0].0 == "unit_price" && told(3)[0].1.contains("thousands"),
        "{:?}",
        told(3)
    );
    assert!(
        told(4).iter().any(|(column, _)| column == "item"),
        "{:?}",
        told(4)
    );
    assert!(
        told(6).iter().any(|(column, _)| column == "effective_from"),
        "{:?}",
        told(6)
    );
    let seven: Vec<String> = told(7).into_iter().map(|(column, _)| column).collect();
    assert_eq!(seven, ["description", "class"], "what a new item needs");
    assert!(told(8)[0].1.contains("row 2"), "{:?}", told(8));
}

#[test]
fn a_price_of_what_the_book_only_inherits_makes_it_its_own() {
    let empty = write(&yard(), &Change::default());
    let list = over_demo(&empty, "2026-05-04");
    let text =
        "item,supplier,unit_price,effective_from\nstone-dense-graded,quarry-yard,30,2026-05-01\n";
    let read = import(&list, Kind::Prices, text).unwrap_or_else(|faults| panic!("{}", faults.told));
    assert_eq!(read.change.items.len(), 1);
    assert_eq!(read.change.suppliers.len(), 1);
    let own = write(&empty, &read.change);
    let list = over_demo(&own, "2026-05-04");
    assert_eq!(dollars(&list, "stone-dense-graded"), "30.00");
    let again = import(&list, Kind::Prices, text).expect("sound");
    assert!(again.change.is_empty());
}

#[test]
fn a_withdrawn_price_goes_and_comes_round_as_nothing() {
    let list = list_of(&demo(), "2026-05-04");
    let text = "item,supplier,unit_price,effective_from\nstone-dense-graded,quarry-yard,withdrawn,2026-02-16\n";
    let read = import(&list, Kind::Prices, text).expect("sound");
    let after = list_of(&write(&demo(), &read.change), "2026-05-04");
    assert_eq!(dollars(&after, "stone-dense-graded"), "32.75");
    let again = import(&after, Kind::Prices, text).expect("sound");
    assert!(again.change.is_empty(), "it is withdrawn already");
    let never = "item,supplier,unit_price,effective_from\nstone-dense-graded,quarry-yard,withdrawn,2024-02-16\n";
    assert!(
        import(&after, Kind::Prices, never)
            .expect("sound")
            .change
            .is_empty()
    );
}

#[test]
fn unknown_tasks_and_classes_and_unsound_rates_are_refused() {
    let list = list_of(&demo(), "2026-05-04");
    let rates = "task,setup_min,low_min,likely_min,high_min\nfinnish,1,1,1,1\nfinish,1,3,2,4\nlayout,1,1,,1\n";
    let faults = import(&list, Kind::Rates, rates).expect_err("faults");
    assert_eq!(faults.rows, [2, 3, 4]);
    let wages = "schedule,class,effective_from,base,overtime_premium,burdens\nown,welder,2026-01-01,30,0.5,tax 7 %\n";
    let faults = import(&list, Kind::Wages, wages).expect_err("faults");
    let columns: Vec<_> = faults
        .told
        .0
        .iter()
        .filter_map(|fault| fault.column.as_deref())
        .collect();
    assert_eq!(columns, ["class", "overtime_premium", "burdens"]);
}
