//! The record in flash under bad conditions: power cuts at every byte and at random, damage, wear, and flashes that hold
//! something else. What every record has to pass comes from `record-tests`.

mod cuts;
mod damage;
mod figures;
mod flash;
mod lives;
mod rules;
