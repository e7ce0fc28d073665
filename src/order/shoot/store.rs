//! Charge along a day: packs that are drawn from and charged in the gaps.
//!
//! Guaranteed: no pack is ever below empty or above full, and a piece is
//! always drawn from one pack, since a pack cannot be changed during a take.

use super::problem::{Draw, Store, StoreId};
use crate::model::Arena;
use crate::model::arena::Id;

/// Charge of every pack, in seconds of use.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Charge {
    packs: Vec<Vec<i64>>,
    /// Whether every pack is full; spares the work of charging.
    full: bool,
    /// Seconds of use won by charging, by store.
    won: Vec<i64>,
}

impl Charge {
    /// Everything full, as after a night.
    pub(crate) fn full(stores: &Arena<StoreId, Store>) -> Self {
        Self {
            packs: stores.values().map(|store| vec![store.holds; store.packs]).collect(),
            full: true,
            won: vec![0; stores.len()],
        }
    }

    /// Charge left in a store.
    pub(crate) fn left(&self, store: StoreId) -> i64 {
        self.packs.get(store.index()).map_or(0, |packs| packs.iter().sum())
    }

    /// Charge won so far in a store.
    pub(crate) fn won(&self, store: StoreId) -> i64 {
        self.won.get(store.index()).copied().unwrap_or(0)
    }

    /// Charges for so many minutes on so many chargers, the emptiest pack first.
    pub(crate) fn charge(&mut self, stores: &Arena<StoreId, Store>, chargers: usize, minutes: i64) {
        if self.full || minutes <= 0 || chargers == 0 {
            return;
        }
        // (share of a full pack in thousandths, store, pack)
        let mut wanting: Vec<(i64, usize, usize)> = Vec::new();
        for ((at, packs), store) in self.packs.iter().enumerate().zip(stores.values()) {
            if store.gains > 0 {
                for (pack, &level) in packs.iter().enumerate() {
                    if level < store.holds {
                        wanting.push((level * 1000 / store.holds.max(1), at, pack));
                    }
                }
            }
        }
        wanting.sort_unstable();
        let mut sockets = vec![minutes; chargers.min(wanting.len())];
        for (_, at, pack) in wanting {
            let Some(store) = stores.values().nth(at) else { continue };
            let Some(level) = self.packs.get_mut(at).and_then(|packs| packs.get_mut(pack)) else { continue };
            let Some(socket) = sockets.iter_mut().max() else { return };
            let needs = (store.holds - *level + store.gains - 1) / store.gains;
            let given = needs.min(*socket);
            *socket -= given;
            let gained = (given * store.gains).min(store.holds - *level);
            *level += gained;
            if let Some(won) = self.won.get_mut(at) {
                *won += gained;
            }
        }
        self.full = self
            .packs
            .iter()
            .zip(stores.values())
            .all(|(packs, store)| packs.iter().all(|&level| level >= store.holds || store.gains == 0));
    }

    /// Draws, or says which store cannot give it; then nothing is drawn.
    pub(crate) fn draw(&mut self, draws: &[Draw]) -> Result<(), StoreId> {
        if draws.is_empty() {
            return Ok(());
        }
        let before = self.packs.clone();
        for draw in draws {
            let Some(packs) = self.packs.get_mut(draw.store.index()) else { continue };
            let mut owed = if draw.piece > 0 { draw.times } else { 0 };
            // The emptiest pack that still gives a piece goes first, so that full ones stay whole.
            packs.sort_unstable();
            for level in packs.iter_mut() {
                let given = (*level / draw.piece.max(1)).min(owed);
                *level -= given * draw.piece;
                owed -= given;
            }
            if owed > 0 {
                self.packs = before;
                return Err(draw.store);
            }
            self.full = false;
        }
        Ok(())
    }

    /// Minutes of charging after which the draws can be made, up to `most`;
    /// `None` where they never can.
    pub(crate) fn wait_for(
        &self,
        stores: &Arena<StoreId, Store>,
        chargers: usize,
        draws: &[Draw],
        most: i64,
    ) -> Option<i64> {
        let enough = |minutes: i64| {
            let mut tried = self.clone();
            tried.charge(stores, chargers, minutes);
            tried.draw(draws).is_ok()
        };
        if !enough(most) {
            return None;
        }
        // More charging never gives less, so the first enough minute can be halved towards.
        let (mut short, mut ample) = (-1, most);
        while ample - short > 1 {
            let middle = short + (ample - short) / 2;
            if enough(middle) {
                ample = middle;
            } else {
                short = middle;
            }
        }
        Some(ample)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::order::shoot::problem::collected;

    fn stores(packs: usize, holds: i64, gains: i64) -> Arena<StoreId, Store> {
        collected([Store { packs, holds, gains }])
    }

    fn draw(stores: &Arena<StoreId, Store>, piece: i64, times: i64) -> Draw {
        Draw { store: stores.ids().next().unwrap(), piece, times }
    }

    #[test]
    fn a_take_is_never_split_over_two_packs() {
        let stores = stores(2, 100, 0);
        let mut charge = Charge::full(&stores);
        assert!(charge.draw(&[draw(&stores, 60, 2)]).is_ok());
        // 40 s are left in each: 80 in all, but no take of 60 s.
        assert!(charge.draw(&[draw(&stores, 60, 1)]).is_err());
        assert_eq!(charge.left(stores.ids().next().unwrap()), 80);
    }

    /// 35 min for 30 min of use: 1,800 s / 35 min is 51 s a minute.
    #[test]
    fn charging_fills_what_the_gap_allows_and_no_more() {
        let stores = stores(2, 1800, 51);
        let mut charge = Charge::full(&stores);
        charge.draw(&[draw(&stores, 900, 3)]).unwrap();
        charge.charge(&stores, 1, 10);
        assert_eq!(charge.left(stores.ids().next().unwrap()), 900 + 510);
        charge.charge(&stores, 1, 1000);
        assert_eq!(charge.left(stores.ids().next().unwrap()), 3600);
    }

    #[test]
    fn the_wait_for_a_charge_is_the_shortest() {
        let stores = stores(1, 1800, 60);
        let mut charge = Charge::full(&stores);
        charge.draw(&[draw(&stores, 1800, 1)]).unwrap();
        assert_eq!(charge.wait_for(&stores, 1, &[draw(&stores, 600, 1)], 500), Some(10));
        assert_eq!(charge.wait_for(&stores, 1, &[draw(&stores, 1900, 1)], 500), None);
        assert_eq!(charge.wait_for(&stores, 0, &[draw(&stores, 600, 1)], 500), None);
    }
}
