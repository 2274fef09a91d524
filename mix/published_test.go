package mix

import (
	"testing"

	"wormyard/internal/published"
)

func compare(t *testing.T, name string) {
	t.Helper()
	published.RunFigures(t, published.Open(t, name), Figures(parameters(t)))
}

func TestPublished_CornellMoisture(t *testing.T)        { compare(t, "cwmi_moisture") }
func TestPublished_CornellCN(t *testing.T)              { compare(t, "cwmi_cn") }
func TestPublished_TradeHandout(t *testing.T)           { compare(t, "trade_handout_recipe") }
func TestPublished_BriggsConversion(t *testing.T)       { compare(t, "briggs_conversion_factors") }
func TestPublished_CompostMoisturePage(t *testing.T)    { compare(t, "compost_moisture_page") }
func TestPublished_CompostTestAnnex(t *testing.T)       { compare(t, "compost_test_annex") }
func TestPublished_BarkerDuckLitter(t *testing.T)       { compare(t, "barker_duck_litter") }
func TestPublished_FidanzaMushroomCompost(t *testing.T) { compare(t, "fidanza_mushroom_compost") }
func TestPublished_MeansOfRatios(t *testing.T)          { compare(t, "means_of_ratios") }
func TestPublished_OregonSawdust(t *testing.T)          { compare(t, "osu_sawdust_nitrogen") }
func TestPublished_SampleRecipeBox(t *testing.T)        { compare(t, "sample_recipe_box") }
func TestPublished_MixByHand(t *testing.T)              { compare(t, "mix_by_hand") }
