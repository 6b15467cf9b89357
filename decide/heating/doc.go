// Package heating answers what fails in the small hours: whether the fuel lasts and
// which cylinder to change when, whether the fire leaves air to breathe and what
// opening that takes, what hangs on the mains and how long each space holds without
// them, what the loss of each heater costs and who can get there in time.
//
// The heat itself, the fuel burnt and the air of the house come from the night's own
// simulation ([night.Firing], [night.HeatOutlook]); this package asks for the runs
// and reads them. Every answer carries its reason. Nothing here calls a flame, a
// fume or a closed house safe: what is computed is oxygen, carbon dioxide and water
// of complete burning. Carbon monoxide and ethylene come from burning that is not
// complete and are not computed; see [Cautions].
package heating
