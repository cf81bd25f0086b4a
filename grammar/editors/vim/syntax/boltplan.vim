" Plans of boltfolio. Written by a test from the table of statements: change nothing here.
if exists('b:current_syntax')
  finish
endif
syn case match
syn match boltplanName /\%([[:alnum:]_.-]\)\@<![a-z][a-z0-9-]*\ze\%([[:space:],;:()]\|$\)/
syn match boltplanConnecting /\%([[:alnum:]_.-]\)\@<!\%(to\|with\|from\|on\|of\|by\|at\|in\|into\|and\|about\|back\|down\|home\|front\|rear\|both\|all\)\ze\%([[:space:],;:()]\|$\)/
syn match boltplanNumber /\%([[:alnum:]_.-]\)\@<![-−]\?\d\+\%(\.\d\+\)\?\%(\/\d\+\)\?/
syn match boltplanDate /\%([[:alnum:]_-]\)\@<!\d\{4}-\d\{2}-\d\{2}\>/
syn match boltplanStatement /^\s\+\zs\%(done\s\+differently\|height\s\+of\s\+centre\|left-hand\s\+thread\|with\s\+wheels\s\+down\|only\s\+on\s\+the\s\+way\|covers\s\+nothing\|needs\s\+bleeding\|with\s\+feet\s\+down\|class\s\+minimum\|double\s\+square\|repeatability\|safe\s\+to\s\+leave\|triple\s\+square\|licensed\s\+for\|second\s\+check\|wheel\s\+radius\|hexalobular\|in\s\+place\s\+of\|press\s\+apart\|pyrotechnic\|required\s\+by\|afterwards\|axle\s\+split\|compresses\|covered\s\+by\|engagement\|held\s\+in\s\+by\|instead\s\+of\|move\s\+aside\|no\s\+work\s\+on\|photograph\|press\s\+home\|reach\s\+from\|safe\s\+after\|slide\s\+home\|threadlock\|comes\s\+off\|finish\s\+by\|fully\s\+out\|move\s\+back\|press\s\+fit\|procedure\|raises\s\+to\|seen\s\+from\|stands\s\+on\|sum\s\+given\|wheelbase\|borne\s\+by\|capacity\|division\|electric\|fixed\s\+to\|flexible\|friction\|in\s\+short\|language\|left\s\+out\|not\s\+with\|nut\s\+head\|optional\|platform\|pressure\|rests\s\+on\|sold\s\+for\|spanners\|spelling\|take\s\+off\|workshop\|against\|arrives\|carries\|caution\|corners\|damaged\|density\|engaged\|free\s\+at\|goes\s\+on\|goes\s\+to\|gravity\|jacking\|make\s\+up\|measure\|pattern\|push-on\|release\|riveted\|same\s\+as\|sets\s\+in\|skipped\|slacken\|slotted\|sockets\|stopped\|threads\|tighten\|to\s\+make\|unclamp\|washers\|amount\|begins\|bolted\|bonded\|borrow\|bought\|budget\|driver\|figure\|fitted\|height\|hidden\|raised\|screws\|signal\|spigot\|spline\|spring\|stages\|starts\|steady\|target\|tie\s\+up\|torque\|unplug\|verify\|welded\|wheels\|after\|avoid\|axles\|bleed\|bolts\|break\|broke\|cable\|calls\|clamp\|class\|clean\|count\|cross\|dated\|dowel\|drain\|drill\|drive\|force\|found\|grade\|grind\|holds\|house\|judge\|level\|lifts\|lower\|needs\|opens\|order\|paint\|paper\|place\|raise\|range\|rated\|reads\|renew\|rigid\|rivet\|sides\|slide\|start\|strap\|studs\|takes\|taper\|touch\|track\|tyres\|uncap\|units\|untie\|weigh\|works\|body\|bond\|clip\|cost\|crew\|done\|draw\|feet\|fill\|free\|fuel\|gone\|harm\|head\|heat\|hire\|hold\|hose\|keys\|legs\|look\|lost\|mark\|mass\|nuts\|pipe\|play\|plug\|rate\|seal\|size\|soak\|sold\|tare\|tilt\|time\|took\|undo\|wait\|weld\|with\|buy\|cap\|cut\|fit\|for\|has\|ink\|key\|new\|pin\|run\|set\|tag\|try\|was\|at\|by\|in\|of\)\ze\%([[:space:],;:()]\|$\)/
syn match boltplanStatement /;\s*\zs\%(done\s\+differently\|height\s\+of\s\+centre\|left-hand\s\+thread\|with\s\+wheels\s\+down\|only\s\+on\s\+the\s\+way\|covers\s\+nothing\|needs\s\+bleeding\|with\s\+feet\s\+down\|class\s\+minimum\|double\s\+square\|repeatability\|safe\s\+to\s\+leave\|triple\s\+square\|licensed\s\+for\|second\s\+check\|wheel\s\+radius\|hexalobular\|in\s\+place\s\+of\|press\s\+apart\|pyrotechnic\|required\s\+by\|afterwards\|axle\s\+split\|compresses\|covered\s\+by\|engagement\|held\s\+in\s\+by\|instead\s\+of\|move\s\+aside\|no\s\+work\s\+on\|photograph\|press\s\+home\|reach\s\+from\|safe\s\+after\|slide\s\+home\|threadlock\|comes\s\+off\|finish\s\+by\|fully\s\+out\|move\s\+back\|press\s\+fit\|procedure\|raises\s\+to\|seen\s\+from\|stands\s\+on\|sum\s\+given\|wheelbase\|borne\s\+by\|capacity\|division\|electric\|fixed\s\+to\|flexible\|friction\|in\s\+short\|language\|left\s\+out\|not\s\+with\|nut\s\+head\|optional\|platform\|pressure\|rests\s\+on\|sold\s\+for\|spanners\|spelling\|take\s\+off\|workshop\|against\|arrives\|carries\|caution\|corners\|damaged\|density\|engaged\|free\s\+at\|goes\s\+on\|goes\s\+to\|gravity\|jacking\|make\s\+up\|measure\|pattern\|push-on\|release\|riveted\|same\s\+as\|sets\s\+in\|skipped\|slacken\|slotted\|sockets\|stopped\|threads\|tighten\|to\s\+make\|unclamp\|washers\|amount\|begins\|bolted\|bonded\|borrow\|bought\|budget\|driver\|figure\|fitted\|height\|hidden\|raised\|screws\|signal\|spigot\|spline\|spring\|stages\|starts\|steady\|target\|tie\s\+up\|torque\|unplug\|verify\|welded\|wheels\|after\|avoid\|axles\|bleed\|bolts\|break\|broke\|cable\|calls\|clamp\|class\|clean\|count\|cross\|dated\|dowel\|drain\|drill\|drive\|force\|found\|grade\|grind\|holds\|house\|judge\|level\|lifts\|lower\|needs\|opens\|order\|paint\|paper\|place\|raise\|range\|rated\|reads\|renew\|rigid\|rivet\|sides\|slide\|start\|strap\|studs\|takes\|taper\|touch\|track\|tyres\|uncap\|units\|untie\|weigh\|works\|body\|bond\|clip\|cost\|crew\|done\|draw\|feet\|fill\|free\|fuel\|gone\|harm\|head\|heat\|hire\|hold\|hose\|keys\|legs\|look\|lost\|mark\|mass\|nuts\|pipe\|play\|plug\|rate\|seal\|size\|soak\|sold\|tare\|tilt\|time\|took\|undo\|wait\|weld\|with\|buy\|cap\|cut\|fit\|for\|has\|ink\|key\|new\|pin\|run\|set\|tag\|try\|was\|at\|by\|in\|of\)\ze\%([[:space:],;:()]\|$\)/
syn match boltplanBlock /^\%(consumable\|assembly\|weigh-in\|caution\|machine\|vehicle\|accept\|energy\|person\|fluid\|joint\|parts\|scale\|stage\|part\|plan\|step\|swap\|tool\|kit\|log\|rig\)\ze\%([[:space:],;:()]\|$\)/ nextgroup=boltplanHead skipwhite
syn match boltplanHead /[a-z][a-z0-9-]*/ contained
syn match boltplanText /"[^"]*"\?/
syn match boltplanComment /\%(^\|[ \t;]\)\@<=#.*$/
syn match boltplanNote /;\s*note\s.*$/ contains=boltplanNoteWord
syn region boltplanNote start=/^\z(\s\+\)note\%(\s\|$\)\@=/ end=/^\%(\z1\s\+\S\|\s*$\)\@!/me=s-1 contains=boltplanNoteWord
syn match boltplanNoteWord /^\s\+\zsnote\%(\s\|$\)\@=/ contained
syn match boltplanNoteWord /;\s*\zsnote\s\@=/ contained
syn sync minlines=200
hi def link boltplanBlock Statement
hi def link boltplanHead Function
hi def link boltplanStatement Keyword
hi def link boltplanNoteWord Keyword
hi def link boltplanConnecting Operator
hi def link boltplanName Identifier
hi def link boltplanNumber Number
hi def link boltplanDate Constant
hi def link boltplanText String
hi def link boltplanNote SpecialComment
hi def link boltplanComment Comment
let b:current_syntax = 'boltplan'
