package batch

// The file as it is written. A field of type any takes more than one kind of
// value; its method in this file says which.
type (
	fileTable struct {
		Name      string           `toml:"name" right:"name = \"Winter orange cordial\"" also:"title"`
		ID        string           `toml:"id" right:"id = \"3f9c20d7\""`
		Started   any              `toml:"started" right:"started = 2026-11-20T18:00:00" also:"start,begun,began,date,begin"`
		Room      any              `toml:"room" right:"room = \"20~C\"" also:"temperature,temp,room_c"`
		Ready     any              `toml:"ready" right:"ready = 2026-12-20" also:"ready_by,wanted,gift,due"`
		Units     string           `toml:"units" right:"units = \"metric\"" also:"unit,system"`
		Spirit    []spiritTable    `toml:"spirit" strict:"single" also:"spirits,base,alcohol"`
		Botanical []botanicalTable `toml:"botanical" also:"botanicals,ingredient,ingredients,spice,herb,infuse"`
		Watch     []watchTable     `toml:"watch" also:"watches,fault"`
		Addition  []additionTable  `toml:"addition" also:"additions,add,sugar,syrup"`
		Finish    finishTable      `toml:"finish" also:"bottling,finished"`
		Measured  measuredTable    `toml:"measured" also:"measure,measurement,measurements"`
		Tasting   []tastingTable   `toml:"tasting" also:"tastings,taste,tasted"`
		Pulled    []pulledTable    `toml:"pulled" also:"pull,pulls,removed,out"`
		Strained  []strainedTable  `toml:"strained" also:"strain,straining,strainings,filtered"`
		Added     []addedTable     `toml:"added" also:"adding,went_in"`
		Bottled   []bottledTable   `toml:"bottled" also:"bottle,bottles,bottlings"`
		Opened    []openedTable    `toml:"opened" also:"open,opening,openings"`
		Emptied   []emptiedTable   `toml:"emptied" also:"empty,emptying,drunk,gone"`
		Noted     []notedTable     `toml:"noted" also:"note,notes,seen,remark"`
	}
	spiritTable struct {
		Name   string   `toml:"name" right:"name = \"grape brandy\"" also:"spirit,kind"`
		ABV    any      `toml:"abv" right:"abv = 57" also:"alcohol,strength,vol,percent,alc"`
		Proof  *float64 `toml:"proof" right:"proof = 114"`
		Amount *string  `toml:"amount" right:"amount = \"700~ml\"" also:"volume,quantity,size"`
		Price  *float64 `toml:"price" right:"price = 24.50" also:"cost"`
	}
	botanicalTable struct {
		Name    string   `toml:"name" right:"name = \"green cardamom\"" also:"botanical"`
		Like    string   `toml:"like" right:"like = \"ginger\""`
		Cut     string   `toml:"cut" right:"cut = \"crushed\"" also:"form,grind,prep,preparation"`
		Amount  *string  `toml:"amount" right:"amount = \"24 g\"" also:"weight,quantity,dose,mass"`
		Target  *float64 `toml:"target" right:"target = 6" also:"want,wanted,goal"`
		In      any      `toml:"in" right:"in = \"20 h\"" also:"added,start,at"`
		Lot     string   `toml:"lot" right:"lot = \"bought Nov 2026\"" also:"batch,source,notes,note,words"`
		Bought  any      `toml:"bought" right:"bought = 2025-11-01" also:"age,harvested,picked,harvest,year"`
		LeaveIn *bool    `toml:"leave_in" right:"leave_in = true" also:"leavein,leave-in,leave"`
		Bag     bool     `toml:"bag" right:"bag = true" also:"bagged,sachet,tea_bag,infuser"`
		Price   *float64 `toml:"price" right:"price = 3.20" also:"cost"`
	}
	watchTable struct {
		Name  string   `toml:"name" right:"name = \"bitter\"" also:"watch,taste"`
		Limit *float64 `toml:"limit" right:"limit = 2" also:"max,most,maximum"`
		From  any      `toml:"from" right:"from = [\"grapefruit peel\"]" also:"by,source"`
	}
	additionTable struct {
		Name      string   `toml:"name" right:"name = \"demerara sugar\"" also:"addition"`
		Amount    *string  `toml:"amount" right:"amount = \"320~g\"" also:"weight,volume,quantity,mass"`
		ABV       any      `toml:"abv" right:"abv = 40" also:"alcohol,strength,vol,percent,alc"`
		Proof     *float64 `toml:"proof" right:"proof = 80"`
		PH        *float64 `toml:"ph" right:"ph = 2.9"`
		Acid      any      `toml:"acid" right:"acid = \"6 g/100 ml\"" also:"acidity,ta"`
		Brix      *float64 `toml:"brix" right:"brix = 50" also:"sugar,bx"`
		Heated    bool     `toml:"heated" right:"heated = true" also:"boiled,cooked,pasteurised,pasteurized"`
		In        any      `toml:"in" right:"in = \"0 h\"" also:"steeped,before"`
		Pressed   any      `toml:"pressed" right:"pressed = 2026-11-19" also:"juiced,squeezed"`
		Kept      string   `toml:"kept" right:"kept = \"fridge\"" also:"stored,store,stood"`
		BoiledOff *string  `toml:"boiled_off" right:"boiled_off = \"40~ml\"" also:"reduced,evaporated,lost"`
		Price     *float64 `toml:"price" right:"price = 1.80" also:"cost"`
	}
	finishTable struct {
		Press    *bool    `toml:"press" right:"press = true" also:"pressed,squeeze,squeezed"`
		Keeps    *float64 `toml:"keeps" right:"keeps = 0.8" also:"soaks,holds"`
		Heated   bool     `toml:"heated" right:"heated = true" also:"cooked,pasteurised,pasteurized"`
		Filtered bool     `toml:"filtered" right:"filtered = true" also:"filter"`
		LeaveIn  bool     `toml:"leave_in" right:"leave_in = true" also:"leavein,leave-in,leave"`
		Boiled   bool     `toml:"boiled" right:"boiled = true" also:"sterilised,sterilized"`
		Bottle   *string  `toml:"bottle" right:"bottle = \"250~ml\"" also:"bottles,size"`
		Serve    *string  `toml:"serve" right:"serve = \"45~ml\"" also:"pour,dose,shot"`
		Store    string   `toml:"store" right:"store = \"fridge\"" also:"storage,keep,stored"`
		Strained any      `toml:"strained" right:"strained = \"5 d\"" also:"time,when"`
		At       any      `toml:"at" right:"strained = \"5 d\""`
		Bottled  any      `toml:"bottled" right:"bottled = \"6 d\""`
		Opened   any      `toml:"opened" right:"opened = \"30 d\"" also:"open"`
	}
	measuredTable struct {
		Strained *string  `toml:"strained" right:"strained = \"640~ml\"" also:"liquor"`
		PH       *float64 `toml:"ph" right:"ph = 3.4"`
		ABV      any      `toml:"abv" right:"abv = 18.5" also:"alcohol,strength,vol,percent,alc"`
		Proof    *float64 `toml:"proof" right:"proof = 37"`
		Volume   *string  `toml:"volume" right:"volume = \"1.05~l\"" also:"amount,yield"`
		Sugar    any      `toml:"sugar" right:"sugar = \"280 g/l\""`
		Acid     any      `toml:"acid" right:"acid = \"12 g/l\"" also:"acidity,ta"`
		Brix     *float64 `toml:"brix" right:"brix = 30" also:"bx"`
		Density  *float64 `toml:"density" right:"density = 1085" also:"gravity"`
		Cyanide  *float64 `toml:"hydrogen_cyanide" right:"hydrogen_cyanide = 0.8" also:"hcn,cyanide"`
	}
	tastingTable struct {
		At     any                `toml:"at" right:"at = \"6 h\"" also:"time,when,hours"`
		Sample *string            `toml:"sample" right:"sample = \"1:3\"" also:"dilution,ratio"`
		Taster string             `toml:"taster" right:"taster = \"B\"" also:"who,by"`
		Score  map[string]float64 `toml:"score" right:"score = { bitter = 1, \"green cardamom\" = 3 }" also:"scores,strength"`
		Words  string             `toml:"words" right:"words = \"bright, thin\"" also:"notes,note,comment,text"`
	}
	pulledTable struct {
		Name string `toml:"name" right:"name = \"green cardamom\"" also:"botanical"`
		At   any    `toml:"at" right:"at = \"20 h\"" also:"time,when,hours"`
	}
	strainedTable struct {
		Names  []string `toml:"names" right:"names = [\"green cardamom\"]" also:"name,what,botanicals"`
		At     any      `toml:"at" right:"at = \"5 d\"" also:"time,when,hours"`
		Volume *string  `toml:"volume" right:"volume = \"680~ml\"" also:"amount,liquor,measured"`
	}
	addedTable struct {
		Name   string  `toml:"name" right:"name = \"demerara sugar\"" also:"addition,what"`
		Amount *string `toml:"amount" right:"amount = \"100~g\"" also:"weight,volume,quantity,mass"`
		At     any     `toml:"at" right:"at = \"5 d\"" also:"time,when,hours"`
		Into   *string `toml:"into" right:"into = \"300~ml\"" also:"left,level,joined"`
		Bottle *int    `toml:"bottle" right:"bottle = 2" also:"number,which"`
	}
	bottledTable struct {
		Bottles *int    `toml:"bottles" right:"bottles = 5" also:"bottle,number,count,how_many"`
		Of      *string `toml:"of" right:"of = \"250~ml\"" also:"size,each"`
		Volume  *string `toml:"volume" right:"volume = \"1.29~l\"" also:"yield,amount,measured"`
		From    *int    `toml:"from" right:"from = 1" also:"out_of,bottle_from"`
		At      any     `toml:"at" right:"at = \"6 d\"" also:"time,when,hours"`
	}
	openedTable struct {
		Bottle *int `toml:"bottle" right:"bottle = 2" also:"number,which"`
		At     any  `toml:"at" right:"at = \"30 d\"" also:"time,when,hours"`
	}
	emptiedTable struct {
		Bottle *int `toml:"bottle" right:"bottle = 2" also:"number,which"`
		At     any  `toml:"at" right:"at = \"50 d\"" also:"time,when,hours"`
	}
	notedTable struct {
		What string `toml:"what" right:"what = \"fizzed\"" also:"note,words,text,seen"`
		At   any    `toml:"at" right:"at = \"40 d\"" also:"time,when,hours"`
	}
)
