//! The catalog's rows: complete for every choice of a job, each with a source, consistent.

use super::close;
use crossfall::catalog::{Catalog, Fit};
use crossfall::job::{Bar, BoardClass, CuringMethod, Placing, Saw, SealerProduct, Stone};

fn catalog() -> &'static Catalog {
    Catalog::built_in()
}

#[test]
fn every_material_of_a_job_has_its_row() {
    let rows = catalog();
    for bar in Bar::ALL {
        assert!(
            rows.steel.bar.iter().any(|row| row.bar == bar.as_str()),
            "{bar}"
        );
    }
    for stone in Stone::ALL {
        assert!(
            rows.stone
                .stone
                .iter()
                .any(|row| row.kind == stone.as_str()),
            "{stone}"
        );
    }
    for class in BoardClass::ALL {
        assert!(
            rows.insulation
                .board
                .iter()
                .any(|row| row.class == class.as_str()),
            "{class}"
        );
    }
}

#[test]
fn every_way_of_working_has_its_row() {
    let rows = catalog();
    for placing in Placing::ALL {
        assert!(
            rows.concrete
                .placing
                .iter()
                .any(|row| row.method == placing.as_str()),
            "{placing}"
        );
    }
    for saw in Saw::ALL {
        assert!(
            rows.joints.saw.iter().any(|row| row.saw == saw.as_str()),
            "{saw}"
        );
    }
    for product in SealerProduct::ALL {
        assert!(
            rows.curing
                .sealer
                .iter()
                .any(|row| row.product == product.as_str()),
            "{product}"
        );
        for method in CuringMethod::ALL {
            assert!(
                rows.find_pair(method.as_str(), product.as_str()).is_some(),
                "{method} {product}"
            );
        }
    }
}

/// The digest, 7.4: a membrane compound keeps a penetrating sealer out; a wet cover does not.
#[test]
fn a_membrane_does_not_go_under_a_penetrating_sealer() {
    let fit = |method, product| catalog().find_pair(method, product).map(|row| row.fit);
    for product in SealerProduct::ALL {
        assert_eq!(fit("wet_cover", product.as_str()), Some(Fit::Fits));
        assert_ne!(fit("compound", product.as_str()), Some(Fit::Fits));
    }
    assert_eq!(fit("compound", "silane"), Some(Fit::FitsAfterRemoval));
}

#[test]
fn lists_stand_in_the_order_in_which_they_are_searched() {
    let rows = catalog();
    assert!(rows.forms.board.is_sorted_by_key(|row| row.depth.metres()));
    assert!(rows.forms.stock.is_sorted_by_key(|row| row.length.metres()));
    assert!(rows.steel.stock.is_sorted_by_key(|row| row.length.metres()));
    assert!(
        rows.joints
            .filler
            .is_sorted_by_key(|row| row.thickness.metres())
    );
    assert!(
        rows.insulation
            .board
            .is_sorted_by_key(|row| row.thickness.metres())
    );
    for air in [true, false] {
        let strengths = rows.concrete.strength.iter().filter(|row| row.air == air);
        assert!(strengths.is_sorted_by_key(|row| row.strength.psi()));
    }
    let last = rows.concrete.handbook.last().expect("a row for all above");
    assert!(last.to.is_none());
}

/// Source: PS 20 dressed sizes, from memory.
#[test]
fn boards_have_their_dressed_sizes() {
    let depths: Vec<(&str, f64)> = catalog()
        .forms
        .board
        .iter()
        .map(|row| (row.name.as_str(), row.depth.inches()))
        .collect();
    let printed = [
        ("2x4", 3.5),
        ("2x6", 5.5),
        ("2x8", 7.25),
        ("2x10", 9.25),
        ("2x12", 11.25),
    ];
    assert_eq!(depths.len(), printed.len());
    for ((name, depth), (wanted, inches)) in depths.iter().zip(printed) {
        assert_eq!(*name, wanted);
        close(*depth, inches, 9);
    }
}

/// A bag makes concrete in proportion to its weight: 0.60 ft3 from 80 lb.
#[test]
fn bags_make_concrete_by_weight() {
    for row in &catalog().concrete.bag {
        close(row.makes.cubic_feet() / row.mass.pounds(), 0.6 / 80.0, 9);
    }
    assert_eq!(catalog().concrete.bag[0].code, "bag-80lb");
}

/// The digest, 1.6: 1.81 and 1.49 tons a cubic yard in place.
#[test]
fn stone_weighs_what_practice_says_in_place() {
    for (kind, tons) in [("dense_graded_stone", 1.81), ("clean_stone", 1.49)] {
        let row = catalog()
            .stone
            .stone
            .iter()
            .find(|row| row.kind == kind)
            .expect("a row");
        close(row.loose.tons_per_yd3() * row.compaction, tons, 2);
    }
}

/// 29 fl oz of 128 to the gallon.
#[test]
fn a_tube_holds_29_of_128_parts_of_a_gallon() {
    close(catalog().joints.sealant.tube.gallons(), 29.0 / 128.0, 9);
}
