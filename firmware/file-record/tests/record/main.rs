//! The record under bad conditions: real folders, damage, full disks and power cuts at every byte. What every record
//! has to pass comes from `record-tests`; what single slots and lists are made of is tested beside their code.

mod cuts;
mod folder;
mod mean_disk;
mod settings;
