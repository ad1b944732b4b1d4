//! What one step of the bucket brings: less than that cannot be weighed out for a ewe.

use crate::feed::protein;
use crate::ration::limit::weighed::BUCKET;
use crate::ration::settle::Ration;

/// Energy, MJ, and protein, g, of one step of the concentrate that brings least of those fed; where none is fed, of
/// those that may be. Nothing where there is none.
pub fn bucket_step(ration: &Ration) -> Option<[f64; 2]> {
    let parts = ration.recipe.parts.iter().zip(&ration.amounts);
    let concentrates = parts.filter(|(part, _)| part.class.is_some_and(|class| class.is_concentrate()));
    let step = |is_wanted: &dyn Fn(f64) -> bool| {
        let of = concentrates.clone().filter(|(_, kg)| is_wanted(**kg)).map(|(part, _)| {
            let brings = protein::supplied(
                part.content.fme,
                part.content.erdp,
                part.content.dup,
                ration.recipe.frame.rumen,
            );
            [BUCKET * part.content.me, BUCKET * brings.mp]
        });
        of.reduce(|a, b| [a[0].min(b[0]), a[1].min(b[1])])
    };
    step(&|kg| kg > 0.0).or_else(|| step(&|_| true))
}
