//! The noise that samples of the regression coefficients are made from.

use super::SAMPLES;
use std::sync::{Arc, Mutex, PoisonError};
use units::{Stream, normal_score};

/// Standard normal scores, the same for every input: by term of the regression, choice by choice,
/// sample by sample. Made when they are first asked for.
pub(super) struct Noise {
    choices: usize,
    seed: u64,
    terms: Mutex<Vec<Option<Arc<[f64]>>>>,
}

impl Noise {
    pub(super) fn of(choices: usize, seed: u64) -> Self {
        let terms = Mutex::default();
        Self {
            choices,
            seed,
            terms,
        }
    }

    /// Scores of a term: all samples of a choice, then those of the next.
    pub(super) fn of_term(&self, term: usize) -> Arc<[f64]> {
        let mut terms = self.terms.lock().unwrap_or_else(PoisonError::into_inner);
        if terms.len() <= term {
            terms.resize(term + 1, None);
        }
        let made = terms[term].get_or_insert_with(|| {
            let mut scores = vec![0.0; self.choices * SAMPLES];
            for (choice, scores) in scores.chunks_mut(SAMPLES).enumerate() {
                let stream = Stream::named(&format!("information/{term}/{choice}"));
                stream.fill(self.seed, 0, &[], scores);
                for score in scores {
                    *score = normal_score(*score);
                }
            }
            scores.into()
        });
        made.clone()
    }
}
