//! `device`: lists the phones and computers paired with the page, and ends one.

use super::Outcome;
use crate::context::Errand;
use crate::render;

/// List the devices paired with the page, or unpair one
#[derive(clap::Args)]
#[command(
    after_help = "Example: draff device list\n\nA device is paired where `draff serve` runs, or by another device that may write."
)]
pub struct Arguments {
    #[command(subcommand)]
    subcommand: Option<Subcommand>,
}

#[derive(clap::Subcommand)]
enum Subcommand {
    /// List the devices: whose, what they may do, when they were last seen
    #[command(after_help = "Example: draff device list")]
    List,
    /// End a device: its cookie opens nothing any more
    #[command(after_help = "Example: draff device end 1")]
    End {
        /// Its number
        #[arg(value_name = "NUMBER")]
        device: i64,
    },
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let mut desk = errand.desk()?;
    let answer = match arguments.subcommand.unwrap_or(Subcommand::List) {
        Subcommand::List => desk.devices()?,
        Subcommand::End { device } => desk.end_device(device)?,
    };
    let (now, zone) = (desk.now(), desk.zone());
    errand.show(
        &answer,
        |devices| render::json::listing::Devices::new(devices, zone),
        |devices| render::device::text(devices, now, zone),
    )?;
    Ok(Outcome::Done)
}
