"""The item types: being a module in this folder, with a `TYPE`, registers one."""
