//! Puts the chip's memory map where the linker finds it and names the linker scripts. What is linked is left to cargo.

use std::path::PathBuf;
use std::{env, fs};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let second = env::var_os("CARGO_FEATURE_RP2350").is_some();
    let map = match second {
        true => "memory-rp2350.x",
        false => "memory-rp2040.x",
    };
    let out = PathBuf::from(env::var("OUT_DIR")?);
    fs::copy(map, out.join("memory.x"))?;
    println!("cargo:rerun-if-changed={map}");
    println!("cargo:rustc-link-search={}", out.display());
    let scripts = ["--nmagic", "-Tlink.x", "-Tdefmt.x"];
    // the second-stage loader that the first Pico's chip wants at the head of the flash
    let loader = (!second).then_some("-Tlink-rp.x");
    for script in scripts.into_iter().chain(loader) {
        println!("cargo:rustc-link-arg-bins={script}");
    }
    Ok(())
}
