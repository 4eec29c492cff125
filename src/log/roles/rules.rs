//! The table of roles by name: what a name must have, and what it must not.
//!
//! In order: the first line that fits wins, so the narrow ones stand first. Alternatives
//! by `|`, all blank-separated parts needed; see [`Words::has`]. What no rule of a role
//! may have stands in `unmeasured`.
//!
//! [`Words::has`]: crate::log::names::Words::has

use super::unmeasured::{NOT_ITS_ENGINE, NOT_ITS_SPEED};
use crate::log::Role;
use crate::unit::Quantity;

/// One line of the table: the role, what the name must have, what it must not.
pub type Rule = (Role, &'static str, &'static str);

// Parts of several lists. Macros, because only literals can be put together into one.
macro_rules! before {
    () => {
        "=pre|=v|before|upstream|=in|=ein|inlet|entrance|=vor|eintritt|eingang|avant|entree|=amont|antes|entrada|=prima|ingresso|=monte|=voor|inlaat|=fore|前|入口"
    };
}
macro_rules! after {
    () => {
        "=after|=n|=post|downstream|=out|=aus|outlet|exit|=nach|austritt|ausgang|apres|sortie|=aval|=tras|despues|salida|=dopo|uscita|=valle|=na|uitlaat|=efter|後|出口"
    };
}
/// Coolers that can only be those of the charge air.
macro_rules! charge_cooler {
    () => {
        "intercooler|=ic|=wic|=cac|=llk|ladeluftkuhler|ladeluftkuehler|chargecooler|aircooler|aftercooler|echangeur|intercambiador|scambiatore|laadluchtkoeler|laddluftkyl|インタークーラー"
    };
}
/// Coolers of anything.
macro_rules! cooler {
    () => {
        "cooler|kuhler|kuehler|=lk|koeler|kylare|refroidisseur|enfriador|raffreddatore"
    };
}
macro_rules! charge {
    () => {
        "charge|ladeluft|boost|laadlucht|laddluft|suraliment|sobrealiment|sovraliment|=air|=luft|=iat"
    };
}
macro_rules! liquid {
    () => {
        "coolant|water|wasser|kuhlmittel|kuehlmittel|=eau|=acqua|=agua|liquid|koelvloeistof|冷却水|水温"
    };
}

pub const TEMPERATURE: &str = "temp|temperatur|temperature|temperatura|temperatuur|=tmp|=t|degc|degf|温|температура|온도|teplota|homerseklet|temperatury";
/// What has to do with boost and is no manifold pressure.
const MORE_THAN_PRESSURE: &str = "temp|temperatur|fuel|oil|exhaust|rail|wastegate|=wg|solenoid|valve|exh|abgas|kraftstoff|=flow|mass|control|=ratio|beforethrottle|prethrottle|vordrossel|avantpapillon|coolant|leak|accumulator|\
    compressorin|beforecompressor|vorverdichter|turboin|echappement|=escape|scarico|krummer|uitlaat|throttle|turbine|crankcase|brake|booster|airfilter|pedal|select|verdichter";
pub const ACCELERATION: &str = "accel|=acc|acceleration|beschleunigung|aceleracion|accelerazione|acceleratie|versnelling|gforce|=g|=gs|加速|=imu|=ax|=gx|=longg|前後g";
pub const NOT_ACCELERATION: &str = "accelerator|accelerateur|acelerador|acceleratore|accped|pedal|=ped|gyro|=rate|jerk|=gear|raw|event|grav|=ratio";
pub const ACROSS: &str = "lat|lateral|=y|=z|=ay|=az|=gy|=gz|vert|vertical|down|=up|left|right|quer|seitlich|=side|trans|vertikal|横|上下|transversal|lateraal|hoch|combined|=sum|total|magnitude|resultant|resultier|betrag|dwars|=norm";
pub const OTHER_HEAT: &str = "oil|exhaust|egt|abgas|=ol|oel|motorol|getriebeol|huile|aceite|=olio|=olie|transmission|getriebe|=trans|=gearbox|=cat|catalyst|katalysator|\
    ulei|ulja|=ulje|масл|oleju|=olej|fuel|kraftstoff|carburant|combustible|battery|batterie|=cpu|board|=pcb|logger|=imu|brake|brems|frein|tyre|tire|reifen|pneu|cabin|interior|innenraum|habitacle|hvac|evap|\
    =head|cylinder|zylinder|turbine|=diff|differential|egr|=agr|particulate|=dpf|scr|sensor2?board|chip|device|=gps|clutch|kupplung";
pub const SPEED: &str = "speed|=spd|=vel|velocity|geschwindigkeit|geschw|vitesse|velocidad|velocita|snelheid|=v|=tempo|速度|車速|车速|=sog";
pub const CHARGE_WORD: &str = "charge|ladeluft|boost|intercooler|=ic|aftercooler|suralimentation|sobrealimentacion|sovralimentazione|=cac|=cact|=llk|echangeur|過給|インタークーラー|suraliment|laddluft";

pub const LATITUDE: &str = "latitude|=lat|breitengrad|=breite|latitud|latitudine|breedtegraad|緯度";
pub const LONGITUDE: &str =
    "longitude|=lon|=long|=lng|langengrad|laengengrad|=lange|longitud|longitudine|lengtegraad|経度";

/// What a receiver says beside its speed.
const NOT_OVER_GROUND: &str = concat!(parts_of_velocity!(), "|angular|=wind|=acc|accuracy|=hdop");
/// Degrees counted the other way round, and their minutes: no degrees north or east.
macro_rules! not_degrees {
    () => {
        "=w|=west|=s|=south|=ouest|=oeste|=ovest|=sud|=sur|=zuid|=minutes|=minuten|accel|acc|g|force|beschl|"
    };
}

pub const RULES: &[Rule] = &[
    (Role::Latitude, LATITUDE, concat!(not_degrees!(), "lateral|quer")),
    (Role::Longitude, LONGITUDE, concat!(not_degrees!(), "longitudinal|aceleracion|acceleration")),
    (
        Role::Altitude,
        "altitude|=alt|elevation|=ele|=elev|=hohe|hoehe|hohemeter|altitud|altitudine|hoogte|標高|高度|=height|=hmsl",
        "density|oil|geoid|undulation|separation|ride|=susp|=body|fahrhohe|bodenfreiheit",
    ),
    (
        Role::RelativeHumidity,
        "humidity|=rh|=hum|luftfeuchte|luftfeuchtigkeit|feuchte|humidite|humedad|umidita|vochtigheid|湿度",
        "absolute|specific",
    ),
    // Wheel by wheel is told by its corner, see `wheel`.
    (
        Role::UndrivenWheelSpeed,
        "undriven|nondriven|notdriven|nichtangetrieben|nonmotrice|freerolling|freewheel",
        "",
    ),
    (
        Role::SatelliteSpeed,
        "gps|gnss|satellit|=sat|=sog|doppler|overground|衛星 speed|=spd|=vel|velocity|geschw|vitesse|velocidad|velocita|snelheid|=sog|速度|車速|车速|=kmh|=mph|=knots|=v",
        NOT_OVER_GROUND,
    ),
    (Role::SatelliteSpeed, "=gspeed|=sog", NOT_OVER_GROUND),
    (
        Role::BarometricPressure,
        "baro|barometer|barometric|atmospheric|atmosphere|luftdruck|umgebungsdruck|aussendruck|ambientpress|ambientairpress|ambientpressure|atmospherique|barometrique|atmosferica|barometrica|大気圧|=bap|=baro|=patm|ambientabs|atmosphar|atmosferisch|luchtdruk|omgevingsdruk|lufttryck|=pumgebung|=pumg|=pamb|=pambient|=airpressure",
        "altitude|temp|ladeluft|laadlucht|laddluft",
    ),
    (
        Role::BarometricPressure,
        "ambient|outside|umgebung|aussen|ambiante|exterieure|ambientale press|pressure|druck|pression|presion|pressione",
        "temp",
    ),
    (
        Role::Brake,
        "brake|bremse|brems|frein|=freno|=rem|remdruk|rempedaal|ブレーキ",
        "temp|temperatur|bias|balance|wear|pad|scheibe|disc|vacuum|boost|servo|unterdruck|=hand|handbrake|parking|feststell",
    ),
    (
        Role::Pedal,
        "pedal|accped|pedpos|accelerator|=app|=apps|fahrpedal|gaspedal|=pwg|pedale|acelerador|acceleratore|accelerateur|pedaal|アクセル|gasstellung|driverpedal",
        "brake|clutch|brems|kupplung|frein|freno|embrayage|embrague|frizione|koppeling|force|=map",
    ),
    (
        Role::Throttle,
        "throttle|drosselklappe|=tps|=tp|papillon|mariposa|farfalla|gasklep|スロットル|节气门|drosselkl|=dk|=dkw|dkwinkel|gasspjall|=wdk|=wdkba|=alphadk|etcpos|butterfly|vlinderklep|дроссел|przepustnic|skrtic|gazkelebe|gasspjæld|gasspjeld|leptirgas|clapetaaccel|kaasulappa|borboleta|節氣門|throtle|fojtoszelep|스로틀",
        "idle|cruise|=hand|leerlauf|ralenti|tempomat|temp|pressure|press|inlet|body|volt|spannung|spenning|angle2|accelerator|actuatorcontrol",
    ),
    (
        Role::EngineSpeed,
        "crankshaftspeed|crankshaftrpm|kurbelwelle|vilebrequin|ciguenal",
        "angle|winkel",
    ),
    (
        Role::EngineSpeed,
        "=rpm|enginerpm|rotacao|rotacoes|engspd|=neng|=engrpm|=revs|enginespeed|engspeed|enginespd|motordrehzahl|drehzahl|=drehz|regimemoteur|=regime|=nmot|regimen|=giri|girimotore|toerental|エンジン回転|回転数|回転速度|发动机转速|=转速|crankspeed|tourspar|toursminute|vitessemoteur|velocidadmotor|revoluciones|=umdrehungen|=n|=tach|tachometer|motordreh|enginerotation|toursmoteur|rotationmoteur|vitessederotation|velocidaddelmotor|regimedumoteur|varvtal|発動機回転|обороты|=rpms|obroty|otacky|fordulatszam|엔진회전|회전수|引擎轉速|motordevri|predkoscobrotowasilnika|частотавращениядвигателя|обертидвигуна|motorensomdrejningstal|motoromdrejningstal|motorturtall|moottorinkierrosluku|turatiamotor|turațiamotor|brojokretajamotora|στροφέςκινητήρα|tốcđộđộngcơ|इंजनगति|รอบเครื่อง|סיבובימנוע|מהירותמנוע",
        NOT_ITS_ENGINE,
    ),
    (
        Role::Gear,
        "=gear|=gang|gearposition|currentgear|actualgear|eingelegtergang|ganganzeige|=rapport|=marcia|=marcha|=gangi|marciainserita|=versnelling|=ギヤ|rapportengage|ギア|シフト位置|gearengaged|gearnumber|versnellingsstand|vitesseengagee|vitesseenclenchee|fahrstufe|=シフト",
        "oil|temp|=ratio|lever|shift|speed|efficiency|druck|switch|=sensor|landing|steer|=box|mode|=pont|=cyclique|relacion|=rapporto|reverse",
    ),
    (
        Role::VehicleSpeed,
        "vehiclespeed|=vss|=vfzg|=vveh|=vvehicle|rijsnelheid|=vcar|vehspeed|vehspd|carspeed|roadspeed|groundspeed|=speed|=spd|=velocity|=v|=vel|fahrzeuggeschwindigkeit|geschwindigkeit|geschw|vitesse|velocidad|velocita|snelheid|車速|车速|速度|speedo|=vspd|wheelspeed|wheelspd|raddrehzahl|=kmh|=mph|=kph|=vitveh|=vitvehicule|hastighet|скорость|predkosc|rychlost|sebesseg|차속|차량속도|koretojetshastighed|bilenshastighed|arachizi|швидкістьавто|ajoneuvonnopeus|vitezavehicul|brzinavozila|ταχύτηταοχήματος|tốcđộxe|वाहनगति|ความเร็วรถ|מהירותרכב|vehicalspeed",
        NOT_ITS_SPEED,
    ),
    // Of no wheel in particular.
    (
        Role::VehicleSpeed,
        "=wheelspeed|=drivenwheelspeed|=wheelspeeddriven|=vwheel",
        "slip|schlupf|ratio",
    ),
    // In either order: "speed, engine".
    (Role::EngineSpeed, "=engine|=motor|=moteur|=motore =speed|=revs|=vitesse", NOT_ITS_ENGINE),
    (
        Role::ManifoldPressure,
        "=map|boost|ladedruck|saugrohrdruck|laaddruk|turbodruk|turbopress|ansaugdruck|ブースト|インマニ圧|吸気管圧|吸気圧|過給圧|=psaug|inlaatdruk|=pvdk|=pvdkds|pressturbo|pressioneturbo|mnfldprs|mnfldpress|manifoldprs|mapprs|=plade|=pladeluft|=pboost|pressionturbo|presionturbo|presiondeturbo|presiondelturbo|spruitstukdruk|laddtryck|=pman|наддув|doladowania|plnicitlak|toltonyomas|进气压力|进气歧管压力|增压压力|增壓壓力|pressaodoturbo|pressaoturbo|ladetryk|plnicipretlak|ahtopaine",
        MORE_THAN_PRESSURE,
    ),
    // DIN 1304 symbols: p with what it is of.
    (Role::ManifoldPressure, "=p =ll|=lade|=boost|=saug|=manifold", MORE_THAN_PRESSURE),
    (
        Role::ManifoldPressure,
        "manifold|charge|intake|inlet|吸気管|saugrohr|suralimentation|collecteur|collettore|colector|sobrealimentacion|sovralimentazione|admission|admision|admissao|aspirazione|インマニ press|pressure|druck|pression|presion|pressione|pressao|=druk|圧",
        MORE_THAN_PRESSURE,
    ),
];

/// Air and coolant, for names or units that say temperature.
pub const HEAT_RULES: &[Rule] = &[
    (
        Role::ChargeCoolant,
        "chargecool|chargeaircoolant|chargecooler|intercooler|=ic|aftercooler|ladeluft|=llk|=cac|echangeur water|coolant|fluid|wasser|=eau|kuhlmittel|kuehlmittel|=pump|reservoir|tank|refroidissement|=heatexchanger",
        "",
    ),
    (
        Role::ChargeCoolant,
        "chargecoolant|lowtemperature|lowtempcirc|lowtempcool|lowtemprad|=ltcircuit|=lt|niedertemperatur|=nt|heatexchanger|bassetemperature|bajatemperatura|bassatemperatura|=w2a|a2w|airtowater|=itw|watercooler",
        "out air|outletair",
    ),
    // Which side of the cooler is told by a word before its name or behind it.
    (
        Role::CompressorOutletAir,
        "=ein|eintritt|eingang ladeluft",
        concat!("=motor|saugrohr|zylinder|", liquid!()),
    ),
    (Role::CompressorOutletAir, "aftercooler|aftcooler =in|inlet|before|=pre", "=out|outlet"),
    (
        Role::CompressorOutletAir,
        concat!(before!(), " ", charge_cooler!()),
        concat!(after!(), "|", liquid!()),
    ),
    (
        Role::CompressorOutletAir,
        concat!(before!(), " ", cooler!(), " ", charge!()),
        concat!(after!(), "|", liquid!()),
    ),
    (
        Role::CompressorOutletAir,
        "compressorout|compressordischarge|compressorexit|dischargetemp|turboout|superchargerout|beforeintercooler|preintercooler|=preic|=pric|beforecooler|beforechargecool|upstreamcooler|vorladeluft|=vorllk|nachverdichter|nachlader|avantechangeur|avantintercooler|chargeairtempin|intercoolerinlet|coolerinlet|coolerin|intercoolerin|verdichteraus|sortiecompresseur|salidacompresor|compressor|preic|vorllk",
        "inletair|compressorin|beforecompressor|vorverdichter",
    ),
    (
        Role::AmbientAir,
        "ambient|outside|outdoor|aussen|umgebung|exterieur|ambiant|exterior|esterna|esterno|buiten|外気|=aat|=oat|weather|ambiental|ambiente|=amb|=ext|omgeving|omgivning|наружн|довкілл|teplotaokoli|utetemp|udetemp|ulkolampo|dishava|環境溫度|环境温度|외기온|vanjskatemp|kulsohom|περιβάλλοντος",
        "",
    ),
    (Role::ChargeAir, concat!(after!(), " ", charge_cooler!()), liquid!()),
    (Role::ChargeAir, concat!(after!(), " ", cooler!(), " ", charge!()), liquid!()),
    (Role::ChargeAir, "throttlebody air", ""),
    (
        Role::ChargeAir,
        "chargeair|ladeluft|chargetemp|boosttemp|boostair|aftercooler|afterintercooler|postintercooler|=postic|postcooler|aftercharge|afterthecooler|downstreamcooler|=cact|=cat1|=act|=iat2|=tmap|manifoldair|manifoldtemp|=mat|intakemanifold|inletmanifold|saugrohr|suralimentation|sobrealimentacion|sovralimentazione|nachladeluft|nachllk|apresechangeur|apresintercooler|collecteur|collettore|colector|plenum|intercooler|=ic|=cac|chargecooler|throttleinlet|suraliment|laddluft|增压|増圧後|中冷后|過給|インマニ|インタークーラー|laadlucht|laadluchttemp|=tcharge|=tboost|=tll|=llt|=tllk|=tladeluft|dopointercooler|boost|ansaugrohr|aftcooler|airedecarga|airecarga|ardecarga|aredecarga|наддувочн|doladowujac|plnicihovzduch|ahtoilma|supraaliment|hladnjakapunjenja|toltolevego|增壓空氣|增压空气|αέραυπερπλήρωσης|emmemanifold",
        "=core|nướclàm",
    ),
    (
        Role::Coolant,
        "coolant|=ect|=clt|=cts|kuhlmittel|khlmittel|khlwasser|kuehlmittel|kuhlwasser|kuehlwasser|wasser|=water|watertemp|refroidissement|refrigerante|raffreddamento|koelvloeistof|koelwater|=eau|=acqua|=agua|冷却水|冷却液|水温|clnttmp|clnttemp|=clnt|enginetemp|motortemp|=tmot|=tkm|=tkuehl|=tkuhl|=tclnt|=tcoolant|temperaturemoteur|liquido|engtemp|=tcool|=kmt|kylvatska|ожтемпература|охлаждающ|=ож|chladici|chladiva|hutoviz|plynuchlodz|chlodziwa|냉각수|sogutmasuyu|kylvatsk|kolevæsk|kjolevæsk|jaahdytysnest|冷卻水|hutofolyadek|lichidderacire|rashladnetek|nướclàmmát|หล่อเย็น|นํ้าหล่อ|शीतलक|охолодж|נוזלקירור",
        "charge|intercooler|aftercooler|radiatorout|kuhleraustritt",
    ),
    (
        Role::InletAir,
        "intake|inlet|=iat|=iats|ansaug|admission|aspirazione|aspirata|admision|inlaat|aanzuig|吸気|吸入空気|进气温度|впуск|dolotow|nasavan|szivott|흡기|airfilter|airbox|luftfilter|filtreaair|aircleaner|vorverdichter|beforecompressor|compressorin|=ait|=tans|=tansaug|=tintake|=tair|admissao",
        "radiator|=post|=supply|zuluft",
    ),
    (
        Role::InletAir,
        "airtemp|=air|lufttemp|temparia|airetemp|temperatureair|temperaturaaria|=maft|luchttemp",
        "outlet|out|=ecu|=supply|zuluft|abluft|=room|raumluft|=duct",
    ),
];

/// Names that say too little alone: the unit says the rest.
pub const BY_UNIT: &[(Quantity, Role, &str)] = &[
    (
        Quantity::EngineSpeed,
        Role::EngineSpeed,
        "=engine|=eng|=motor|=moteur|=motore|=crankshaft|=crank|=tacho|=speed|=spd",
    ),
    (Quantity::Speed, Role::VehicleSpeed, "=tempo|=tacho"),
    // Also the pulse a second of a receiver.
    (Quantity::Share, Role::Pedal, "=pps"),
];
