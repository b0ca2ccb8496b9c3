//! What a study remembers between runs. Every entry is a pure function of its whole key, compared by
//! value: a run with a memory gives what a run without one gives, only sooner when little changed.

use super::in_draws::InDrawsKey;
use super::without::{Rests, RestsKey};
use crate::choice::InDraws;
use crate::cycle::{Changer, PartTime};
use crate::demand::Demand;
use crate::entered::{Plan, Shop};
use crate::fit::Fit;
use crate::ids::OfferId;
use crate::machine::{Condition, Field, Machine, MachineClass, SaleTerms};
use crate::material::Materials;
use crate::money::{
    AllIn, Ceiling, Driver, Financing, Line, PriceRoom, Worth, draw_against, drivers,
    highest_price, series,
};
use crate::site::together::Places;
use crate::site::{PlanAnswers, PlanKey, Work};
use crate::specification::{ClassPicture, Requirement};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use units::{Cancelled, Money, Number, System, Value};

/// Pairs of key and answer, those of the last run and of the present one.
#[derive(Debug)]
pub(super) struct Shelf<K, V> {
    entries: Mutex<Vec<Entry<K, V>>>,
    /// Nothing is kept.
    closed: AtomicBool,
}

#[derive(Debug)]
struct Entry<K, V> {
    key: K,
    answer: Arc<V>,
    /// Asked for in the present run.
    used: bool,
}

impl<K, V> Default for Shelf<K, V> {
    fn default() -> Self {
        Self {
            entries: Mutex::default(),
            closed: AtomicBool::new(false),
        }
    }
}

impl<K: PartialEq + Clone, V> Shelf<K, V> {
    /// The answer for a key, made if it is not there.
    pub(super) fn get(&self, key: &K, make: impl FnOnce() -> V) -> Arc<V> {
        if self.closed.load(Ordering::Relaxed) {
            return Arc::new(make());
        }
        if let Some(answer) = self.find(key) {
            return answer;
        }
        // Made outside the lock: others may look and make at the same time.
        let answer = Arc::new(make());
        self.put(key.clone(), answer.clone());
        answer
    }

    /// The same of what may be cancelled, of which nothing is kept then.
    pub(super) fn try_get(
        &self,
        key: &K,
        make: impl FnOnce() -> Result<V, Cancelled>,
    ) -> Result<Arc<V>, Cancelled> {
        if let Some(answer) = self.find(key) {
            return Ok(answer);
        }
        let answer = Arc::new(make()?);
        if !self.closed.load(Ordering::Relaxed) {
            self.put(key.clone(), answer.clone());
        }
        Ok(answer)
    }

    fn find(&self, key: &K) -> Option<Arc<V>> {
        let mut entries = self.entries.lock().unwrap_or_else(PoisonError::into_inner);
        let entry = entries.iter_mut().find(|e| e.key == *key)?;
        entry.used = true;
        Some(entry.answer.clone())
    }

    fn put(&self, key: K, answer: Arc<V>) {
        let mut entries = self.entries.lock().unwrap_or_else(PoisonError::into_inner);
        entries.push(Entry {
            key,
            answer,
            used: true,
        });
    }

    fn open(&self, open: bool) {
        self.closed.store(!open, Ordering::Relaxed);
        if !open {
            self.clear();
        }
    }

    /// Forgets what the last run did not ask for.
    fn turn(&self) {
        let mut entries = self.entries.lock().unwrap_or_else(PoisonError::into_inner);
        entries.retain(|e| e.used);
        for entry in entries.iter_mut() {
            entry.used = false;
        }
    }

    fn clear(&self) {
        let mut entries = self.entries.lock().unwrap_or_else(PoisonError::into_inner);
        entries.clear();
    }
}

/// Fits and times of all parts on one machine.
#[derive(Clone, Debug)]
pub(super) struct Fitted {
    pub fits: Vec<Fit>,
    pub times: Vec<Option<PartTime>>,
    pub hours_by_kind: Vec<(&'static str, f64)>,
    pub changer: Changer,
}

/// What every fit depends on besides the machine.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Ground {
    pub demands: Vec<Demand>,
    pub materials: Materials,
    pub ends: Option<crate::cycle::MaterialEnds>,
    pub practice: crate::fit::Practice,
}

/// Lines drawn against a budget with a seed, so many times.
type DrawKey = (Vec<Line>, Value<Money>, u64, u64);
/// Lines of a purchase, its years and what it brings, in a shop.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct YearsKey {
    pub one_off: Vec<Line>,
    pub running: Vec<Line>,
    pub first_year: Vec<Line>,
    pub income: Option<Vec<Line>>,
    pub offer: String,
    pub terms: SaleTerms,
    pub condition: Condition,
    pub pieces: f64,
    pub hours: Option<(Value<Number>, f64)>,
    pub shop: Shop,
    pub draws: u64,
}

/// A machine, and its numbers stated as ranges.
type FitsKey = (Machine, Vec<(Field, Value<Number>)>);
/// Lines whose room for a price is asked, with budget, chance, seed, draws.
type RoomKey = (Vec<Line>, Value<Money>, f64, u64, u64);
/// Shop, works of each class, year, draws; what the parts ask is part of the ground.
type CeilingKey = (Shop, Vec<Vec<Work>>, i16, u64);

/// A plan with the machines to stand on it, and the units that is told in.
type PlacesKey = (Plan, Vec<(OfferId, PlanKey)>, System);

/// The memory of a caller who asks again and again, as a page does.
#[derive(Debug, Default)]
pub struct Memo {
    ground: Mutex<Option<Arc<Ground>>>,
    pub(super) fits: Shelf<FitsKey, Fitted>,
    pub(super) in_draws: Shelf<InDrawsKey, Option<InDraws>>,
    pub(super) specification: Shelf<(), Vec<Requirement>>,
    pub(super) classes: Shelf<MachineClass, ClassPicture>,
    pub(super) ceilings: Shelf<CeilingKey, Vec<Ceiling>>,
    draws: Shelf<DrawKey, AllIn>,
    pub(super) rests: Shelf<RestsKey, Rests>,
    /// Never closed: all purchases share what they are held against.
    budgets: Shelf<(Value<Money>, u64, u64), Vec<f64>>,
    pub(super) years: Shelf<YearsKey, (Financing, Option<Worth>)>,
    drivers: Shelf<(Vec<Line>, u64, u64), Vec<Driver>>,
    rooms: Shelf<RoomKey, PriceRoom>,
    plan: Mutex<Option<(Plan, PlanAnswers)>>,
    pub(super) places: Shelf<PlacesKey, Places>,
}

impl Memo {
    /// Begins a run: what rests on other parts, materials or habits is forgotten.
    pub(super) fn begin(&self, ground: Ground) {
        let mut kept = self.ground.lock().unwrap_or_else(PoisonError::into_inner);
        if kept.as_deref() != Some(&ground) {
            self.fits.clear();
            self.in_draws.clear();
            self.specification.clear();
            self.classes.clear();
            self.ceilings.clear();
            self.rests.clear();
            *kept = Some(Arc::new(ground));
        }
        self.fits.turn();
        self.in_draws.turn();
        self.classes.turn();
        self.ceilings.turn();
        self.draws.turn();
        self.budgets.turn();
        self.rests.turn();
        self.years.turn();
        self.drivers.turn();
        self.rooms.turn();
        self.places.turn();
    }

    /// Keeps what purchases come to, or nothing of them: with very many pairs it would be most of the
    /// memory.
    pub(super) fn open(&self, open: bool) {
        self.fits.open(open);
        self.in_draws.open(open);
        self.draws.open(open);
        self.years.open(open);
        self.drivers.open(open);
        self.rooms.open(open);
        self.rests.open(open);
    }

    /// Lines drawn against a budget.
    pub(super) fn draw(
        &self,
        lines: &[Line],
        budget: &Value<Money>,
        seed: u64,
        draws: u64,
    ) -> Arc<AllIn> {
        let key = (lines.to_vec(), budget.clone(), seed, draws);
        let held_against = || {
            let key = (budget.clone(), seed, draws);
            self.budgets.get(&key, || series(budget, seed, draws))
        };
        self.draws
            .get(&key, || draw_against(lines, held_against(), seed))
    }

    /// What moves a sum of lines.
    pub(super) fn drivers(&self, lines: &[Line], seed: u64, draws: u64) -> Arc<Vec<Driver>> {
        let key = (lines.to_vec(), seed, draws);
        self.drivers.get(&key, || drivers(lines, seed, draws))
    }

    /// What the budget leaves for the price.
    pub(super) fn room(&self, lines: &[Line], shop: &Shop, draws: u64) -> PriceRoom {
        let (budget, chance) = (&shop.budget, shop.keep_chance);
        let key = (lines.to_vec(), budget.clone(), chance, shop.seed, draws);
        *self.rooms.get(&key, || {
            highest_price(lines, budget, chance, shop.seed, draws)
        })
    }

    /// Answers known of a plan.
    pub(super) fn plan(&self, plan: &Plan) -> PlanAnswers {
        let kept = self.plan.lock().unwrap_or_else(PoisonError::into_inner);
        match &*kept {
            Some((known, answers)) if known == plan => answers.clone(),
            _ => PlanAnswers::default(),
        }
    }

    pub(super) fn keep_plan(&self, plan: &Plan, answers: &PlanAnswers) {
        let mut kept = self.plan.lock().unwrap_or_else(PoisonError::into_inner);
        *kept = Some((plan.clone(), answers.clone()));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn of_what_was_cancelled_nothing_is_kept() {
        let shelf: Shelf<u8, u8> = Shelf::default();
        assert!(shelf.try_get(&1, || Err(Cancelled)).is_err());
        assert_eq!(shelf.try_get(&1, || Ok(5)).as_deref(), Ok(&5));
        // Now it is.
        assert_eq!(shelf.try_get(&1, || Err(Cancelled)).as_deref(), Ok(&5));
    }
}
