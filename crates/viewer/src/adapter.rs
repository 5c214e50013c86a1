//! Whether anything here can draw.

use bevy::tasks::block_on;
use thiserror::Error;

/// Nothing here can draw.
#[derive(Clone, Copy, Debug, Error, PartialEq, Eq)]
#[error(
    "no graphics adapter was found, so nothing can be drawn. Install the driver of your graphics card; without a card, \
     install a software driver (Debian and Ubuntu: apt-get install mesa-vulkan-drivers). `wideberth check` needs none."
)]
pub struct NoAdapter;

/// Looks for something that can draw.
///
/// # Errors
/// When there is nothing.
pub fn check() -> Result<(), NoAdapter> {
    let instance = wgpu::Instance::new(wgpu::InstanceDescriptor::new_without_display_handle_from_env());
    let adapters = block_on(instance.enumerate_adapters(wgpu::Backends::PRIMARY));
    if adapters.is_empty() { Err(NoAdapter) } else { Ok(()) }
}
