package web

import "net/http"

func (s *Server) startShow(w http.ResponseWriter, r *http.Request, p person) error {
	return missing{p.Say("fault.nopage")}
}
func (s *Server) startSave(w http.ResponseWriter, r *http.Request, p person) error {
	return missing{p.Say("fault.nopage")}
}
