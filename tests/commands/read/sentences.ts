/**
 * What people type on an evening, and what each must mean. Our own list; none is taken from anywhere.
 * Left of the bar the sentence, right of it: "card" shows the target with a press to ask, "request" asks at once, then
 * target, filter, seconds, frames, time, (note); "?" is a question back, with its kind and what can be pressed; else a command.
 */
export const SENTENCES = `
M31 | card M31
m31 | card M31
M31? | card M31
m 31 please | card M31
M-31 | card M31
Messier 31 | card M31
messier31 pls | card M31
Uranus | card uranus
uranus!! | card uranus
jupiter :) | card jupiter
JUPITER | card jupiter
the moon | card moon
moon tonight? | card moon
🪐 | card saturn
🌙 please | card moon
M57 🔭✨ | card M57
ngc7000 | card NGC7000
NGC 7000 | card NGC7000
n.g.c. 7000 | card NGC7000
caldwell 14 | card C14
c14 please | card C14
ic 434 | card IC434
ring nebula | card M57
the ring nebula | card M57
ringnebula | card M57
Ring-Nebula | card M57
RING NEBULA PLEASE | card M57
whirlpool | card M51
crab nebula pls | card M1
dumbbell | card M27
the sombrero galaxy | card M104
owl nebula thanks | card M97
owl cluster | card NGC457
double cluster | card C14
north america nebula | card NGC7000
eastern veil nebula | card NGC6992
seven sisters | card M45
pleiades | card M45
vega | card Vega
alpha lyrae | card Vega
α Lyr | card Vega
beta cygni | card Albireo
61 cygni | card 61Cygni
delta cephei | card DeltaCephei
mira | card Mira
RR Lyr | card RRLyrae
SS Cyg | card SSCygni
3C 273 | card 3C273
3c273 | card 3C273
Cygnus X-1 | card CygnusX1
cas a | card CassiopeiaA
HD 209458 | card HD209458
WASP-12 | card WASP12
barnard's star | card BarnardsStar
shoe-buckle cluster | card M35
fawaris | card Fawaris
croc's eye galaxy | card M94
47 tuc | card NGC104
M51 R 2min x3 | card M51 R 120 x3
M51, R, 2 min, x3 | card M51 R 120 x3
M51 x3 R 2min | card M51 R 120 x3
R 2min x3 M51 | card M51 R 120 x3
3x 2min M51 in R | card M51 R 120 x3
3 x 120s of M51 in R | card M51 R 120 x3
M51 3x120 R | card M51 R 120 x3
M51 120s x 3 R | card M51 R 120 x3
M51R2minx3 | card M51 R 120 x3
m51r120sx3 | card M51 R 120 x3
M51 R 120 3 | card M51 R 120 x3
M51 filter R exposure 120 frames 3 | card M51 R 120 x3
M51 filter=R exposure=120 frames=3 | card M51 R 120 x3
M51 R two minutes three frames | card M51 R 120 x3
M51 in red, 2 minutes, 3 times | card M51 R 120 x3
M51 with a 2 minute exposure in R | card M51 R 120
M51 with a 2-minute exposure in R | card M51 R 120
M51 with the red filter for 2 minutes | card M51 R 120
M51 through the R filter | card M51 R
M51 red filter please | card M51 R
M51 in r | card M51 R
M13 clear 20 3 | card M13 clear 20 x3
M13 clear 20s | card M13 clear 20
M13 20s clear | card M13 clear 20
m13clear20s | card M13 clear 20
M13 no filter 20 s | card M13 clear 20
M13 unfiltered, 20 sec | card M13 clear 20
M13 L 20 | card M13 clear 20
M13 luminance 30s x 5 | card M13 clear 30 x5
M13 blue 1m30s | card M13 B 90
M13 B 1 min 30 s | card M13 B 90
M13 B 1.5 min | card M13 B 90
M13 B 1,5 min | card M13 B 90
M13 half a minute | card M13 30
M13 a minute in V | card M13 V 60
M13 for one minute | card M13 60
M13 30 seconds each, 4 frames | card M13 30 x4
4 frames of M13, 30s each | card M13 30 x4
four pictures of M13 30 sec each | card M13 30 x4
10 subs of 60s on M13 | card M13 60 x10
a couple of shots of M13 | card M13 x2
5 photos of saturn | card saturn x5
a photo of saturn | card saturn
picture of the moon please | card moon
pic of jupiter pls | card jupiter
M57 in H-alpha 5 min | card M57 Hα 300
M57 h alpha 5min | card M57 Hα 300
M57 Ha 300 s | card M57 Hα 300
M57 hydrogen alpha filter, five minutes | card M57 Hα 300
M57 Hα | card M57 Hα
M57 in green | card M57 V
M57 visual 10s | card M57 V 10
M57 for my lab | card M57 (for my lab)
M57 for our lab report please | card M57 (for our lab report)
M57 R 60 for my astronomy project | card M57 R 60 (for my astronomy project)
M57 because we compare colours | card M57 (because we compare colours)
M57 note=poster | card M57 (poster)
M57 after 22:30 | card M57 22:30
M57 not before 22:30 | card M57 22:30
M57 at 10pm | card M57 10pm
M57 at 10:30 pm R | card M57 R 10:30pm
M57 after midnight | card M57 00:00
M57 R 60 x2 23:15 | card M57 R 60 x2 23:15
M57 in 20 minutes | card M57 20 minutes
M57 in 2 minute exposures | card M57 120
M57 in Lyra | card M57
the ring nebula in lyra, 60s | card M57 60
M42 in orion R 10 | card M42 R 10
05 35 17 -05 23 28 | card J053517-052328
05 35 17 -05 23 28 R 60 | card J053517-052328 R 60
05h35m17s -05d23m28s 30s | card J053517-052328 30
83.82 -5.39 clear 20 | card J053516.80-052324.0 clear 20
M31 as soon as possible | card M31
M31 asap thx | card M31
M31 if possible | card M31
M31 when it's up | card M31
hi, m31 please | card M31
hello! could I get m31? | request M31
good evening, m31 in V please | card M31 V
ok m31 | card M31
maybe M31 | card M31
M31 purple | card M31 not: purple
M31 R fancy | card M31 R not: fancy
please observe M31 | request M31
pls observe m31 | request M31
Observe M31, please! | request M31
can I have the ring nebula? | request M57
can i have m51 with a 2 minute exposure in R | request M51 R 120
Can I have M51 in R for my lab please | request M51 R (for my lab)
Could we please get Saturn tonight? | request saturn
could you please take 3 pictures of M13 | request M13 x3
can you take a picture of the moon | request moon
could someone shoot M27 in V for 90 s | request M27 V 90
I want to see the Pleiades | request M45
I want M57 | request M57
i wanna see saturn | request saturn
I need 5 frames of M67 in B, 60 s each, for photometry | request M67 B 60 x5 (for photometry)
we need M67 in V | request M67 V
I'd like Jupiter please | request jupiter
id like jupiter | request jupiter
I would like to request M81 | request M81
we would like to photograph NGC 7000 | request NGC7000
take 3 pictures of M13 | request M13 x3
take a photo of Vega | request Vega
take M13 in clear for 20 seconds | request M13 clear 20
photograph the whirlpool galaxy | request M51
let's look at Albireo | request Albireo
lets do M33 | request M33
point the telescope at M42 | request M42
point at 05 35 17 -05 23 28 for 30s | request J053517-052328 30
may I ask for M81 clear 20 3 | request M81 clear 20 x3
image M27 R 1.5m | request M27 R 90
shoot m27 x4 | request M27 x4
capture the crab nebula in H alpha | request M1 Hα
do M81 next | request M81
request M13 | request M13
request m13 clear 20 3 | request M13 clear 20 x3
queue up M13 please | request M13
is it possible to get M31? | request M31
would it be possible to observe M31 in B | request M31 B
/request M51 with a 2 minute exposure in R | request M51 R 120
/request Ring Nebula, R, 1 min, x2 | request M57 R 60 x2
/request ring nebula in v 30 s x 2 please | request M57 V 30 x2
/request M 13 20s 3 frames | request M13 20 x3
/request M13 for my lab please | request M13 (for my lab)
/request M10 3 | request M10 3
/request Saturn blue | request saturn B
when is M31 up? | card M31
where is Jupiter now | card jupiter
how high is the Orion nebula | card M42
is Saturn up tonight? | card saturn
when can we see Mars? | card mars
when does M42 rise | card M42
tell me about M57 | card M57
what is M13? | card M13
what does M51 look like | card M51
show me the ring nebula | card M57
where can I find Vega? | card Vega
info on M81 | card M81
M57 tomorrow | card M57 night tomorrow
is M31 up tomorrow? | card M31 night tomorrow
when will mine run? | when
when is my turn | when
whens my turn? | when
how long until mine? | when
when does #12 run | when 12
am I next? | when
where am I in the queue | when
why am I third? | why
why is #12 so late | why 12
why is my picture so dark | mine
is it done yet? | mine
where are my pictures? | mine
my frames | mine
what's up tonight | tonight
what's good tonight? | tonight
what can I see | tonight
what should we observe | tonight
is it cloudy? | tonight
who's next? | queue
show the queue | queue
how many are waiting? | queue
is the dome open? | telescope
what is the telescope doing | telescope
cancel mine please | withdraw
delete #12 | withdraw 12
help | help
hello | help
how does this work? | help
what can I type? | help
how come my frames failed | mine
why not sooner? #12 | why 12
why is 7 before 5 | why 7
can I see my frames | mine
who is ahead of me | queue
can I see the queue? | queue
when M13 rises? | card M13
observe | ?not-understood
I want | ?not-understood
the weather in spring | ?not-understood
take a picture of | ?missing
cud i get m57 plz | card M57
gimme m31 | card M31
i'd love a pic of the whirlpool galaxy in Ha | request M51 Hα
whirlpool galaxy 5x60s luminance | card M51 clear 60 x5
60s x5 whirlpool lum | card M51 clear 60 x5
M81;V;60s;x5 | card M81 V 60 x5
M81 - V - 60s - x5 | card M81 V 60 x5
NGC891@R,60s | card NGC891 R 60
5 frames, M27, OIII | card M27 x5 not: OIII
M27 with SII filter | ?unknown-filter
orion nebula short exposure | card M42
double cluster wide field | card C14
the andromeda galaxy (m31) | card M31
planet mars | card mars
M67 B V | ?two-filters
photo of the moon 1/100 s | card moon 0.01
m31's core | card M31
M92 instead | card M92
i'd like to see if m27 looks good in halpha | request M27 Hα
take me to saturn | card saturn
can you hear me? | help
whats in orion right now | ?which-target M42 …
is there anything in cygnus | ?which-target M39 …
double star albireo | card Albireo
can you observe jupiter at 2am | request jupiter 2am
mars please as soon as it rises | card mars
what's the best time for m42 | card M42
is m42 visible | card M42
how long should i expose m57 | card M57
which filter for m57 | card M57
m31 when | card M31
my request please | mine
how many frames did i get | mine
can i cancel | withdraw
recommend something | tonight
surprise me | tonight
anything bright? | tonight
how's the weather | tonight
status | telescope
who is using the telescope | telescope
coma cluster | ?which-target …
coma berenices | ?which-target …
saturn's rings | ?no-target Saturn
jupiter's moons | ?no-target Jupiter
need vega spectrum | ?unknown-target Vega
Taurus | ?which-target M45 …
andromeda | ?which-target M31 …
constellation Andromeda | ?which-target M31 …
Cygnus please | ?which-target …
/request Taurus R 60 | ?which-target M45 …
leo triplet | ?which-target NGC 3628, M65, M66
markarian's chain | ?which-target …
veil nebula | ?which-target …
a galaxy | ?which-target M31 …
any planet please | ?which-target Saturn …
globular cluster | ?which-target …
andromida galaxy | ?unknown-target M31
can I get andromida galaxy in red for 2 min | ?unknown-target M31
jupitr | ?unknown-target Jupiter …
pleides R 20s | ?unknown-target M45
southern owl | ?unknown-target M97 …
ring nebul | ?unknown-target M57 …
/request M 113 | ?unknown-target M110, M103, M13
saturn galaxy | ?unknown-target Saturn …
hercules a | ?unknown-target …
M31 and M33 | ?two-targets M31, M33
M13, M92 in R | ?two-targets M13, M92
/request M31 for Tomas | ?for-someone-else
can I have M31 for my friend | ?for-someone-else
/request M31 fancy schmancy | ?not-understood M31
/request M31 Q 20 | ?unknown-filter
flying teapot R 60 | ?unknown-target
the sun | ?sun
iss | ?no-target
the space station please | ?no-target
sagittarius a* | ?no-target
Sgr A* | ?no-target
io | ?no-target Jupiter
black hole | ?no-target …
lol | ?not-understood
the quick brown fox | ?not-understood
2 min in R | ?not-understood
`
  .trim()
  .split("\n")
  .map((row) => row.split(" | ") as [sentence: string, meaning: string]);
