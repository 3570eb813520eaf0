//! Offline, proved: the whole demo goes through where there is no network but the machine's own loopback, and none of
//! its processes tries to connect to anything else.

use std::fs;
use std::process::Command;

use crate::command::{Failure, ask, run};
use crate::{places, shell};

/// Carries the demo through in a network of its own, watched by strace.
pub(crate) fn check() -> Result<(), Failure> {
    shell::build(&["tonefast", "demo"])?;
    let trace = places::target().join("connects");
    let mut command = Command::new("unshare");
    command.arg("--net");
    if ask(Command::new("id").arg("-u"))?.trim() != "0" {
        command.arg("--map-root-user");
    }
    // The driver and the app speak to each other over loopback, which a new network has, but not up.
    command.args(["sh", "-c", "ip link set lo up && exec \"$@\"", "sh"]);
    command.args(["strace", "--follow-forks", "-qq", "--trace=connect", "--output"]).arg(&trace);
    command.arg(places::binary("demo")).arg(places::demo()).arg(places::target().join("offline"));
    run(&mut command, "The demo didn't go through without a network: the lines above say where.")?;
    let trace = fs::read_to_string(&trace).map_err(|error| {
        Failure::new(format!("strace's file can't be read: {error}."), "Is there room on the disk?")
    })?;
    let connects: Vec<&str> = trace.lines().filter(|line| line.contains("connect(")).collect();
    let strangers: Vec<&str> = connects.iter().copied().filter(|line| !stays_here(line)).collect();
    println!("{} connects, {} of them to elsewhere", connects.len(), strangers.len());
    if connects.is_empty() {
        return Err(Failure::new("strace saw nothing, not even the driver.", "Is strace allowed here?"));
    }
    if strangers.is_empty() {
        return Ok(());
    }
    Err(Failure::new(format!("It reached out:\n{}", strangers.join("\n")), "Nothing may leave the machine."))
}

/// Whether a line of strace's connects within this machine: a socket in the file system, the kernel's own, or loopback
/// (RFC 1122, 3.2.1.3; RFC 4291, 2.5.3).
fn stays_here(line: &str) -> bool {
    let family = line.split_once("sa_family=").map_or("", |(_, rest)| rest);
    family.starts_with("AF_UNIX")
        || family.starts_with("AF_NETLINK")
        // A datagram socket that is taken off its address.
        || family.starts_with("AF_UNSPEC")
        || (family.starts_with("AF_INET,") && family.contains("inet_addr(\"127."))
        || (family.starts_with("AF_INET6,") && family.contains("\"::1\""))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_stays_on_the_machine_passes() {
        for (line, here) in [
            (r#"7 connect(5, {sa_family=AF_UNIX, sun_path=@"/tmp/.X11-unix/X99"}, 20) = 0"#, true),
            (
                r#"7 connect(5, {sa_family=AF_INET, sin_port=htons(80), sin_addr=inet_addr("127.0.0.1")}, 16) = 0"#,
                true,
            ),
            (
                r#"7 connect(5, {sa_family=AF_INET, sin_port=htons(53), sin_addr=inet_addr("192.0.2.7")}, 16) = -1"#,
                false,
            ),
            (
                r#"7 connect(5, {sa_family=AF_INET6, sin6_port=htons(80), inet_pton(AF_INET6, "::1", &sin6_addr)}, 28) = 0"#,
                true,
            ),
            (
                r#"7 connect(5, {sa_family=AF_INET6, sin6_port=htons(80), inet_pton(AF_INET6, "2001:db8::1", &sin6_addr)}, 28) = -1"#,
                false,
            ),
            ("7 connect(5, NULL, 0) = -1 EFAULT", false),
        ] {
            assert_eq!(stays_here(line), here, "{line}");
        }
    }
}
