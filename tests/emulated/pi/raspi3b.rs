//! The contacts on the emulated board of a Raspberry Pi 3, through rppal and through the kernel, as far as the emulator goes:
//! it has the pins' levels, and neither their edges nor their resistors nor a display. Edges through the kernel are left to
//! the tests on the other computer.

use std::process::Command;

use super::computer::{EMULATOR, debian, put_system};
use super::console::Console;

const INIT: &str = include_str!("init-contacts");
const SETTINGS: &str = r#"
[contacts]
through = "kernel"
closes-to = "ground"
pedal = 17
take-back = 27
"#;

#[test]
#[ignore = "needs qemu-system-aarch64, Debian's arm64 kernel and the Raspberry Pi's program"]
fn contacts_of_a_raspberry_pi_3_are_found_and_read() {
    let folder = tempfile::tempdir().expect("a folder");
    let kernel = put_system(folder.path(), INIT, SETTINGS);
    let mut trees = std::fs::read_dir(debian().join("usr/lib"))
        .expect("a folder")
        .flatten()
        .map(|entry| entry.path().join("broadcom/bcm2837-rpi-3-b.dtb"));
    let tree = trees.find(|tree| tree.exists()).expect("a device tree");
    let mut emulator = Command::new(EMULATOR);
    emulator
        .args(["-M", "raspi3b", "-display", "none"])
        .args(["-serial", "null", "-serial", "stdio", "-monitor", "none"])
        .arg("-kernel")
        .arg(kernel)
        .arg("-dtb")
        .arg(tree)
        .arg("-initrd")
        .arg(folder.path().join("system"))
        // rppal goes by /dev/mem where there is no /dev/gpiomem, as in Debian's kernel
        .args(["-append", "console=ttyS1,115200 iomem=relaxed quiet"]);
    let mut console = Console::start(&mut emulator);
    console.hear("this is Raspberry Pi 3 Model B");
    for who in ["kernel as root", "kernel as baserun", "rppal as root"] {
        console.hear(who);
        console.hear("pedal, pin 17: open");
        console.hear("take-back, pin 27: closed");
        console.hear("ended with 0");
    }
    console.hear("rppal as baserun");
    console.hear("the contacts cannot be read: rppal: Permission denied: /dev/mem; [contacts] through = \"kernel\" is the other way.");
    println!("{}", console.hear("edges asked for: "));
}
