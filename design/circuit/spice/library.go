package spice

// Library is the file that decks with tubes include.
const Library = "pentode.lib"

// pentode is the text of that file: the law of circuit.TubeModel as ngspice
// has it, term by term.
const pentode = `* Pentode or beam tube above the knee: cathode current by the law
*   Ik = G*[(1-SH)*S(Vg1k+Vg2k/MUA) + SH*S(Vg1k+Vg2k/MUB)]*N,  S(x) = (w*ln(1+exp(x/w)))^1.5,  w = max(Vg2k,1)/(6*MUA)
* led to zero between 1 V and 0 V on the screen; the plate takes the share PS.
.subckt pentode p s g k G=1m MUA=10 MUB=10 SH=0 PS=1 N=1
Bu u 0 V=max(0,min(1,V(s,k)))
Bw w 0 V=max(V(s,k),1)/(6*{MUA})
Ba za 0 V=(V(g,k)+V(s,k)/{MUA})/V(w)
Bb zb 0 V=(V(g,k)+V(s,k)/{MUB})/V(w)
Bc ik 0 V=1000*{G}*{N}*V(u)*V(u)*(3-2*V(u))*((1-{SH})*pow(V(w)*(max(V(za),0)+ln(1+exp(-abs(V(za))))),1.5)+{SH}*pow(V(w)*(max(V(zb),0)+ln(1+exp(-abs(V(zb))))),1.5))
Bp p k I={PS}*V(ik)/1000
Bs s k I=(1-{PS})*V(ik)/1000
Rp p k 1e12
Rs s k 1e12
.ends pentode
`
