package site

// The tables of heat and what feeds it; the tags are told in file.go.

type fileHeater struct {
	table
	Name       value `toml:"name" is:"text" doc:"what you call it; no two alike" eg:"\"big gas heater\"" else:"must be given"`
	Space      value `toml:"space" is:"text" doc:"name of the space it stands in" eg:"\"North house\"" else:"must be given, but for a portable one"`
	Kind       value `toml:"kind" is:"heater" doc:"what it is" eg:"\"vented gas\"" else:"must be given"`
	Count      value `toml:"count" is:"count" within:"1 1000" doc:"how many" eg:"1" else:"1"`
	Input      value `toml:"input" is:"power" within:"50 2e6" doc:"rated input of one, as on its plate; of pipes the heat they give" eg:"\"80000 BTU/h\"" else:"must be given"`
	Fuel       value `toml:"fuel" is:"fuel" doc:"what it burns or lives on" eg:"\"propane\"" else:"by its kind, or that of the cylinder that feeds it; otherwise must be given for gas"`
	Mains      value `toml:"mains" is:"flag" doc:"it stops when the power fails: a fan, a pump, electric ignition or a thermostat on the mains" eg:"true" else:"true for electric; must be given for every other"`
	Power      value `toml:"power" is:"power" within:"1 20000" doc:"electricity that the fan, pump and controls of one take; not for electric" eg:"\"150 W\"" else:"none, listed as assumed where mains = true"`
	Circuit    value `toml:"circuit" is:"text" doc:"name of the [[circuit]] it hangs on" eg:"\"north wall\"" else:"no breaker is checked, listed as assumed for electric"`
	Setpoint   value `toml:"setpoint" is:"temperature" within:"-10 30" doc:"thermostat" eg:"\"40 °F\"" else:"no thermostat: it runs until it is shut off or empty; listed as assumed"`
	Swing      value `toml:"swing" is:"difference" within:"0.2 10" doc:"between the thermostat's switching on and off" eg:"\"4 °F\"" else:"2 °C (4 °F) where there is a setpoint, listed as assumed"`
	Least      value `toml:"least" is:"share" within:"0.05 1" doc:"least it can burn, of its input" eg:"\"50 %\"" else:"100 %: it is on or off; listed as assumed where there is a setpoint"`
	Efficiency value `toml:"efficiency" is:"share" within:"0.3 1" doc:"how much of the input stays in the house" eg:"\"80 %\"" else:"80 % with a flue, otherwise 100 %; listed as assumed"`
	Radiant    value `toml:"radiant" is:"share" within:"0 0.9" doc:"how much of its heat goes out as rays, not into the air" eg:"\"30 %\"" else:"by its kind, listed as assumed"`
	Flue       value `toml:"flue" is:"flag" doc:"burnt gas leaves through a pipe" eg:"true" else:"by its kind: only vented gas has one"`
	OutsideAir value `toml:"outside_air" is:"flag" doc:"a pipe brings it the air it burns from outdoors" eg:"true" else:"false: it burns the air of the house"`
	Hood       value `toml:"hood" is:"flag" doc:"its flue draws air of the house through a draught hood as well" eg:"true" else:"true with a flue and no outside_air, listed as assumed"`
	Damper     value `toml:"damper" is:"flag" doc:"something shuts that flue while nothing burns" eg:"true" else:"false: it draws on"`
	Moves      value `toml:"moves" is:"air" within:"0.005 50" doc:"air that the fan of one throws while it gives heat" eg:"\"1800 ft3/min\"" else:"it is taken not to stir the air"`
	Cutoff     value `toml:"cutoff" is:"share" within:"0.15 0.205" doc:"oxygen in the air at which it shuts itself off; fresh air has 20.9 %" eg:"\"18 %\"" else:"it has no such device"`
	Portable   value `toml:"portable" is:"flag" doc:"it may be carried to another space" eg:"true" else:"false"`
}

type fileFan struct {
	table
	Name    value `toml:"name" is:"text" doc:"what you call it; no two alike" eg:"\"north fans\"" else:"must be given"`
	Space   value `toml:"space" is:"text" doc:"name of the house it hangs in" eg:"\"North house\"" else:"must be given"`
	Kind    value `toml:"kind" is:"fan" doc:"what it does with the air: round and round (circulation), out (exhaust), or in from outdoors (intake)" eg:"\"circulation\"" else:"must be given"`
	Count   value `toml:"count" is:"count" within:"1 100" doc:"how many" eg:"4" else:"1"`
	Moves   value `toml:"moves" is:"air" within:"0.005 50" doc:"air that one moves" eg:"\"1500 ft3/min\"" else:"must be given"`
	Power   value `toml:"power" is:"power" within:"1 20000" doc:"electricity that one takes" eg:"\"90 W\"" else:"none, listed as assumed"`
	Mains   value `toml:"mains" is:"flag" doc:"it stops when the power fails" eg:"true" else:"true"`
	Circuit value `toml:"circuit" is:"text" doc:"name of the [[circuit]] it hangs on" eg:"\"north wall\"" else:"no breaker is checked"`
	When    value `toml:"when" is:"when" doc:"when it runs; leave it out where on and off are given" eg:"\"always\"" else:"always for circulation; exhaust and intake stand still in a freeze; listed as assumed"`
	On      value `toml:"on" is:"moment" doc:"hour it starts each day, or date and hour for once; with off" eg:"\"16:30\"" else:"see when"`
	Off     value `toml:"off" is:"moment" doc:"hour it stops, or date and hour" eg:"\"09:00\"" else:"see when"`
}

type fileCylinder struct {
	table
	Name     value `toml:"name" is:"text" doc:"what you call them; no two alike" eg:"\"north cylinders\"" else:"must be given"`
	Fuel     value `toml:"fuel" is:"bottled" doc:"what is in them" eg:"\"propane\"" else:"what the heaters they feed burn"`
	Feeds    value `toml:"feeds" is:"names" doc:"names of the heaters they feed" eg:"[\"big gas heater\"]" else:"must be given"`
	Holds    value `toml:"holds" is:"fill" doc:"fuel in a full one, by weight; kerosene, a tank of 61 kg (134 lb) or more, and gallons also as liquid; of a fixed tank what it may be filled to, mostly 80 %" eg:"\"20 lb\"" else:"must be given"`
	Count    value `toml:"count" is:"count" within:"1 100" doc:"how many are connected" eg:"2" else:"1"`
	Together value `toml:"together" is:"flag" doc:"all connected ones are drawn on at once; otherwise the next one starts when one is empty" eg:"true" else:"false for several, listed as assumed; true for tank-top burners, which sit on one each"`
	Left     value `toml:"left" is:"left" doc:"what is in each now: by weight, as liquid, or as the gauge shows in %; a list where they differ" eg:"[\"60 %\", \"15 lb\"]" else:"from weight or burned; otherwise taken as full, listed as assumed"`
	LeftFrom value `toml:"left_from" is:"left from" doc:"how left is known; it decides how far it is trusted" eg:"\"gauge\"" else:"gauge for %, otherwise as written"`
	Weight   value `toml:"weight" is:"masses" doc:"what each weighs on the scale, cylinder and all; a list where they differ" eg:"[\"31 lb\", \"36 lb\"]" else:"see left"`
	Empty    value `toml:"empty" is:"mass" within:"0.5 1000" doc:"what an empty one weighs, stamped on the collar after TW" eg:"\"18 lb\"" else:"18 lb for a 20 lb one and 24 lb for a 30 lb one, listed as assumed with weight; otherwise must be given with weight"`
	Burned   value `toml:"burned" is:"duration" within:"0 1000" doc:"hours that the heaters have burned on them at full input since they were full" eg:"\"6 h\"" else:"see left"`
	Spare    value `toml:"spare" is:"count" within:"0 1000" doc:"full ones in the shed" eg:"3" else:"none"`
	CanBuy   value `toml:"can_buy" is:"flag" doc:"more full ones can still be bought before they are needed" eg:"true" else:"false: what is there now is all there is"`
	Stands   value `toml:"stands" is:"stands" doc:"where the connected ones stand; cold ones give less gas" eg:"\"outdoors\"" else:"outdoors; with the burner for tank-top burners, and with the heater for kerosene; listed as assumed where it is the house"`
}

type fileCircuit struct {
	table
	Name  value `toml:"name" is:"text" doc:"what you call it; no two alike" eg:"\"north wall\"" else:"must be given"`
	Volts value `toml:"volts" is:"volts" within:"10 500" doc:"of the outlets on it" eg:"\"120 V\"" else:"must be given"`
	Amps  value `toml:"amps" is:"amps" within:"1 800" doc:"printed on its breaker" eg:"\"20 A\"" else:"must be given"`
}

type fileBackup struct {
	table
	Name  value `toml:"name" is:"text" doc:"what you call it; no two alike" eg:"\"old generator\"" else:"must be given"`
	Power value `toml:"power" is:"power" within:"50 2e6" doc:"what it can give all night, not at the start" eg:"\"3.5 kW\"" else:"must be given"`
	Hours value `toml:"hours" is:"duration" within:"0.1 1000" doc:"how long it gives that on what is in its tank or battery" eg:"\"8 h\"" else:"must be given"`
	Fuel  value `toml:"fuel" is:"backup fuel" doc:"what it runs on" eg:"\"gasoline\"" else:"not said"`
}

type filePrices struct {
	table
	Propane     value `toml:"propane" is:"price" doc:"price of propane" eg:"\"3.10 per gal\"" else:"counted as free, listed as assumed where a heater uses it"`
	Butane      value `toml:"butane" is:"price" doc:"price of butane" eg:"\"2.40 per kg\"" else:"counted as free, listed as assumed where a heater uses it"`
	NaturalGas  value `toml:"natural_gas" is:"price" doc:"price of natural gas" eg:"\"1.20 per therm\"" else:"counted as free, listed as assumed where a heater uses it"`
	Kerosene    value `toml:"kerosene" is:"price" doc:"price of kerosene" eg:"\"4.20 per gal\"" else:"counted as free, listed as assumed where a heater uses it"`
	Electricity value `toml:"electricity" is:"price" doc:"price of electricity" eg:"\"0.31 per kWh\"" else:"counted as free, listed as assumed where a heater uses it"`
}
