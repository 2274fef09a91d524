package demo

// Habits are the numbers of the scenario: how far the farm's nature is from ours,
// how its crew works, sees and writes. Values are data (demo.json).
type Habits struct {
	TruthShare    float64 `param:"truth_share" unit:"-"`
	BinShare      float64 `param:"bin_share" unit:"-"`
	MaterialShare float64 `param:"material_share" unit:"-"`
	LoadShare     float64 `param:"load_share" unit:"-"`
	BarnLoss      float64 `param:"barn_loss" unit:"-"`
	BarnChanges   float64 `param:"barn_changes" unit:"-"`
	BinAirSD      float64 `param:"bin_air_sd_c" unit:"C"`
	SiteOffset    float64 `param:"site_offset_c" unit:"C"`
	SiteSD        float64 `param:"site_sd_c" unit:"C"`
	Unwritten     float64 `param:"unwritten" unit:"-"`
	Late          float64 `param:"late" unit:"-"`
	BucketSD      float64 `param:"bucket_sd" unit:"-"`
	BucketBinSD   float64 `param:"bucket_bin_sd" unit:"-"`
	LoaderSD      float64 `param:"loader_sd" unit:"-"`
	DialSD        float64 `param:"dial_sd_c" unit:"C"`
	DialBias      float64 `param:"dial_bias_c" unit:"C"`
	LoggerSD      float64 `param:"logger_sd_c" unit:"C"`
	LoggerBias    float64 `param:"logger_bias_c" unit:"C"`
	HandSD        float64 `param:"hand_sd_frac_wet" unit:"-"`
	EyeSD         float64 `param:"eye_sd" unit:"-"`
	OutlookSD     float64 `param:"outlook_sd_c" unit:"C"`
	WormsFound    float64 `param:"worms_found" unit:"-"`
	CocoonsKept   float64 `param:"cocoons_kept" unit:"-"`
	BinEmptyKg    float64 `param:"bin_empty_kg" unit:"kg"`
	SplitKg       float64 `param:"split_kg" unit:"kg"`
	RestDays      float64 `param:"rest_days" unit:"day"`
	FullM         float64 `param:"full_m" unit:"m"`
}
