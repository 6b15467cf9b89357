package site

type fileShedWrap struct {
	table
	Kind      value `toml:"kind" is:"wrap" doc:"what it is made of; dry, wet cloth insulates little" eg:"\"foam pipe\"" else:"must be given"`
	Thickness value `toml:"thickness" is:"length" within:"0.001 0.2" doc:"of the wrap all in all" eg:"\"13 mm\"" else:"by its kind, listed as assumed"`
	Count     value `toml:"count" is:"count" within:"0 1e5" doc:"stems that can be wrapped with them" eg:"40" else:"must be given"`
	Fits      value `toml:"fits" is:"length" within:"0.002 1" doc:"thickest stem it goes round" eg:"\"4 in\"" else:"any stem"`
}

type fileShedBarrel struct {
	table
	Holds value `toml:"holds" is:"volume" within:"0.005 2" doc:"water in a full one" eg:"\"55 gal\"" else:"must be given"`
	Count value `toml:"count" is:"count" within:"0 1000" doc:"how many, with lids" eg:"6" else:"must be given"`
}

type fileRoom struct {
	table
	Name     value `toml:"name" is:"text" doc:"what you call it; not the name of a space" eg:"\"potting shed\"" else:"must be given"`
	Keeps    value `toml:"keeps" is:"temperature" within:"-10 30" doc:"coldest it gets in there in a freeze" eg:"\"38 °F\"" else:"must be given"`
	Free     value `toml:"free_bench" is:"area" within:"0 2000" doc:"floor and benches that pots could stand on" eg:"\"60 ft2\"" else:"must be given"`
	Light    value `toml:"light" is:"share" within:"0 1" doc:"daylight in there, of that outdoors" eg:"\"5 %\"" else:"none, listed as assumed"`
	Distance value `toml:"distance" is:"length" within:"0 2000" doc:"way to carry, one way, from where the plants stand" eg:"\"100 ft\"" else:"30 m (100 ft), listed as assumed"`
}
