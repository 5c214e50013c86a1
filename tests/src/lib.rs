//! What the workspace-level tests share.
