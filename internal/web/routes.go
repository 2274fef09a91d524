package web

import (
	"net/http"
	"slices"
)

// route is one address and its page.
type route struct {
	at   string
	page page
}

// routes is the table of every address.
func (s *Server) routes() http.Handler {
	mux := http.NewServeMux()
	for _, x := range slices.Concat(s.doorRoutes(), s.quickRoutes(), []route{
		{"GET /{$}", s.home},
		{"GET /round", s.roundShow},
		{"GET /round/print", s.roundPrint},
		{"GET /round/events", s.roundEvents},
		{"POST /round/make", s.roundMake},
		{"GET /round/walk", s.walk},
		{"POST /round/walk", s.walkSave},
		{"GET /round/walk/changed", s.walkChanged},
		{"POST /round/walk/changed", s.walkChanged},
		{"GET /round/{key}", s.roundShow},
		{"POST /round/{key}/answer", s.roundAnswer},
		{"GET /round/{key}/except", s.roundExcept},
		{"POST /round/{key}/except", s.roundExcept},
		{"GET /barn", s.barnShow},
		{"GET /barn/{name}", s.barnShow},
		{"GET /layout", s.barnLayout},
		{"POST /layout", s.barnLayout},
		{"GET /bin/{name}", s.binShow},
		{"GET /bin/{name}/trouble", s.troubleShow}, {"POST /bin/{name}/trouble", s.remedySave},
		{"GET /moves", s.movesShow}, {"GET /moves/print", s.movesPrint}, {"GET /moves/places", s.movesPlaces}, {"GET /moves/drive", s.movesDrive}, {"POST /moves/lift", s.movesSave},
		{"GET /truck", s.truckShow},
		{"POST /truck", s.truckShow},
		{"GET /bin/{name}/{act}", s.binAct},
		{"POST /bin/{name}/{act}", s.binAct},
		{"GET /labels", s.labelShow},
		{"POST /labels", s.labelPrint},
		{"GET /b", s.whichShow},
		{"POST /b", s.whichOpen},
		{"GET /b/{name}", s.labelOpen},
		{"GET /b/{name}/{mark}", s.labelOpen},
		{"GET /B/{name}/{mark}", s.labelOpen},
		{"GET /r/{short}", s.lineOpen},
		{"GET /R/{short}", s.lineOpen},
		{"GET /yard", s.yardShow},
		{"GET /yard/receive", s.yardAct},
		{"POST /yard/receive", s.yardAct},
		{"GET /yard/pile/{pile}", s.yardShow},
		{"GET /yard/batch/{batch}", s.yardShow},
		{"GET /yard/pile/{pile}/{act}", s.yardAct},
		{"POST /yard/pile/{pile}/{act}", s.yardAct},
		{"GET /castings", s.castingsShow},
		{"GET /lot/{name}", s.lotShow},
		{"GET /lot/{name}/labels", s.lotLabelShow}, {"POST /lot/{name}/labels", s.lotLabelPrint},
		{"GET /lot/{name}/record.pdf", s.lotRecord}, {"GET /sale/{id}/note.pdf", s.saleNote},
		{"GET /l/{name}/{mark}", s.lotOpen}, {"GET /L/{name}/{mark}", s.lotOpen},
		{"GET /lot/{name}/{act}", s.lotAct},
		{"POST /lot/{name}/{act}", s.lotAct},
		{"GET /bench", s.benchesShow},
		{"GET /trials", s.trialsShow},
		{"GET /lot/{name}/sample", s.sampleShow},
		{"GET /lot/{name}/report", s.reportShow},
		{"GET /lot/{name}/sheet", s.labSheetShow}, {"POST /lot/{name}/sheet/read", s.labSheetRead},
		{"POST /lot/{name}/report", s.reportShow},
		{"GET /lot/{name}/bench/photo", s.measureShow},
		{"POST /lot/{name}/bench/photo", s.measureShow},
		{"GET /lot/{name}/bench", s.benchShow},
		{"POST /lot/{name}/bench", s.benchShow},
		{"GET /rules", s.rulesShow}, {"GET /rules/{key}", s.rulesShow},
		{"GET " + houseTo, s.houseShow}, {"POST " + houseTo, s.houseSave},
		{"GET /costs", s.costsShow},
		{"GET /orders", s.ordersShow},
		{"GET /order/{id}", s.orderShow},
		{"GET /order/{id}/{act}", s.orderAct},
		{"POST /order/{id}/{act}", s.orderAct},
		{"GET /orders/new", s.orderNew},
		{"POST /orders/new", s.orderNewSave},
		{"GET /orders/import", s.ordersImport},
		{"POST /orders/import/save", s.ordersImportSave},
		{"GET /prices", s.pricesShow},
		{"POST /prices", s.pricesSave},
		{"GET /trace", s.traceShow}, {"POST /trace/drill", s.drillSave},
		{"GET /trace.csv", s.traceSheet},
		{"GET /mix", s.mixShow},
		{"GET /workshop", s.workshopShow},
		{"POST /workshop", s.workshopSave},
		{"GET /workshop/drawing.svg", s.workshopFile},
		{"GET /workshop/drawing.pdf", s.workshopFile},
		{"POST /mix", s.mixSave},
		{"GET /journal", s.journalShow},
		{"GET /journal/{id}", s.journalShow},
		{"POST /journal/{id}/strike", s.journalStrike},
		{"POST /journal/{id}/revive", s.journalRevive},
		{"POST /journal/{id}/undo", s.journalUndo},
		{"GET /outbox", s.outboxShow},
		{"POST /outbox", s.outboxTake},
		{"GET /keep.json", s.keepShow},
		{"GET /manifest.webmanifest", s.manifestShow},
		{"GET /sw.js", s.workerShow},
		{"GET /photo/{name}", s.photoShow},
		{"GET /enter", s.enterList},
		{"GET /enter/{kind}", s.enter},
		{"POST /enter/{kind}", s.enter},
		{"GET /farm", s.farmShow},
		{"POST /farm/{part}", s.farmSave},
		{"GET /start", s.startShow},
		{"POST /start", s.startSave},
		{"GET /import", s.importShow},
		{"POST /import/save", s.importSave},
		{"GET /working", s.workingList},
		{"GET /working/figure/{name}", s.workingFigure},
		{"GET /working/bin/{name}", s.workingBin},
		{"GET /working/pile/{name}", s.workingPile},
		{"GET /working/batch/{name}", s.workingBatch},
		{"GET /score", s.scoreShow},
		{"GET /season", s.seasonShow}, {"POST /season", s.seasonSave}, {"POST /season/stop", s.seasonStop}, {"GET /season/events", s.seasonEvents}, {"GET " + demandTo, s.demandShow}, {"POST " + demandTo + "/save", s.demandSave}, {"POST " + demandTo + "/drop", s.demandDrop},
		{"GET /season.csv", s.seasonSheet}, {"GET /season.ics", s.seasonCalendar},
		{"GET /more", s.moreShow},
		{"POST /choose", s.choose},
		{"GET /static/{file}", s.staticFile},
		{"/", s.nowhere},
	}) {
		s.at(mux, x.at, x.page, mostForm)
	}
	s.at(mux, "POST /start/file", s.startFile, mostFile)
	s.at(mux, "POST /import", s.importTry, mostFile)
	s.at(mux, "POST /orders/import", s.ordersImportTry, mostFile)
	s.at(mux, "POST "+demandTo, s.demandTry, mostFile)
	s.at(mux, "POST /lot/{name}/sheet", s.labSheetTry, mostFile)
	s.at(mux, "POST /photo", s.photoTake, mostPhoto)
	if s.Door != nil {
		s.at(mux, "POST /sign-in", s.signInTry, mostSignIn)
		s.at(mux, "POST /switch", s.switchTry, mostSignIn)
	}
	return mux
}

func (s *Server) home(w http.ResponseWriter, r *http.Request, _ person) error {
	seeOther(w, r, "/round")
	return nil
}

func (s *Server) nowhere(_ http.ResponseWriter, _ *http.Request, p person) error {
	return missing{p.Say("fault.nopage")}
}
