//! What the station says where something is in its way: one sentence that says what to do, and it ends with 1. The words of
//! faults that no emulated computer has are left to the program's own tests.

use station::screen::Panel;

use super::computer::Computer;

/// Who starts it, with which settings, and what is said.
const SENTENCES: [(&str, &str, &str); 12] = [
    (
        "stranger",
        "",
        "no right to use /dev/dri/card0: the user has to be in the group video (sudo usermod -aG video USER, then log in anew)",
    ),
    (
        "helper",
        "",
        "no right to use /dev/input/event0: the user has to be in the group input (sudo usermod -aG input USER, then log in anew)",
    ),
    (
        "baserun",
        "[screen]\noutput = \"HDMI-A-1\"\n",
        "no screen is plugged in at \"HDMI-A-1\". There are the outputs Virtual-1: plug a screen in and switch it on",
    ),
    (
        "baserun",
        "[screen]\npicture = \"1024x600\"\n",
        "the screen has 800x480 and the picture does not fit: choose a smaller one as [screen] picture",
    ),
    (
        "baserun",
        "record = \"/lib/record\"\n",
        "the record cannot be kept in /lib/record: Permission denied (os error 13). Make the folder and give it to the station's user, or name another one as record",
    ),
    (
        "baserun",
        "record = \"/elsewhere\"\n",
        "what is kept in /elsewhere is gone when the power goes (rootfs): mount a partition of its own there (hardware-notes/raspberry-pi.md), or name another folder as record",
    ),
    (
        "baserun",
        "[link]\ntcp = \"192.0.2.1:7370\"\n",
        "nobody can listen at 192.0.2.1:7370: Cannot assign requested address (os error 99). Give another [link] tcp, or stop what uses it",
    ),
    (
        "baserun",
        "[link]\nserial = \"/dev/ttyGS0\"\n",
        "the serial port /dev/ttyGS0 cannot be opened: ",
    ),
    (
        "baserun",
        "[contacts]\nthrough = \"kernel\"\n",
        "the contacts cannot be read: no chip here has the pins of a Raspberry Pi, or the right to use it is missing (group gpio); [contacts] chip names another. With [contacts] through = \"off\" the station goes without them",
    ),
    (
        "baserun",
        "[contacts]\nthrough = \"rppal\"\n",
        "the contacts cannot be read: rppal: Unknown Raspberry Pi model; [contacts] through = \"kernel\" is the other way. With [contacts] through = \"off\" the station goes without them",
    ),
    (
        "baserun",
        "[contacts]\nbeeper = 18\nchip = \"/dev/gpiochip0\"\n",
        "the beeper cannot be set: ",
    ),
    (
        "baserun",
        "[sreen]\n",
        "/tmp/settings, line 1: there is no key \"sreen\"; the nearest is \"screen\"",
    ),
];

#[test]
#[ignore = "needs qemu-system-aarch64, mke2fs, Debian's arm64 kernel and the Raspberry Pi's program"]
fn whatever_is_in_its_way_is_told_in_a_sentence() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut computer = Computer::new(folder.path(), Panel::WIDE);
    computer.switch_on();
    // beside the one that runs
    told(
        &mut computer,
        "baserun",
        "/dev/dri/card0 is in use by another program: stop the desktop (sudo systemctl set-default multi-user.target, then restart) or the other station",
    );
    computer.plug_in();
    computer.tell("off");
    computer.hear("ended with 0");
    for (user, settings, sentence) in SENTENCES {
        let settings = settings.replace('\n', "\\n");
        computer.tell(&format!("printf '{settings}' >/tmp/settings"));
        computer.hear("did printf");
        told(&mut computer, user, sentence);
    }
}

/// It says this sentence to this user and ends with 1.
fn told(computer: &mut Computer, user: &str, sentence: &str) {
    computer.tell("touch /tmp/settings");
    computer.tell(&format!(
        "su -s /bin/sh {user} -c 'exec baserun-station /tmp/settings'; echo its end is $?"
    ));
    println!("{}", computer.hear(sentence));
    assert_eq!(computer.hear("its end is "), "its end is 1");
}
