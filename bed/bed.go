// Package bed is the layered bed of one bin: what lies in it from the floor up,
// how warm, wet and aired each layer is, how it rots, and where the worms are
// and what they make of it.
//
// The bed is a column for each square metre. Layers come from acts (a bedding,
// a feeding) and keep the identity of the act that laid them; they merge by age
// and by what the acts say, never by what a run computed, so that two runs of
// one bin stay comparable layer by layer. Heat is conducted with sources, sides,
// cover and base, and freezing; pore oxygen is quasi-steady, by diffusion and by
// air that rises warm; water drains,
// spreads and evaporates; matter rots in pools; nitrogen turns over; worms are
// a stock spread over the layers by what they prefer. Dry matter, water, carbon,
// nitrogen and energy are conserved and the balance of every run is returned.
//
// Left out: differences along and across the bin (a side feeding is a layer
// spread over the whole, which only the worms of its half reach), vapour moving inside the bed, heat and water carried by
// the air that rises through it, decay without oxygen, uptake of phosphorus and potassium. The equations are
// docs/model/bed.md, B1 to B39 and B69 to B72. Inside a run everything is plain float64, for
// each square metre, with the unit in the comment.
package bed
