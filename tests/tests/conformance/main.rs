//! Published values, reference libraries and tables: what the program computes against what others printed.

mod bimetal;
mod bin_winds;
mod catalogue;
mod cored;
mod cross_climate_file;
mod cross_closest_approach;
mod cross_elastic_catenary;
mod cross_pieces;
mod cross_string_section;
mod cross_sway;
mod cross_weather;
mod drag;
mod limit_tables;
mod limits;
mod machines_peers;
mod published;
