//! Roles by name: what a channel says it is, in the languages of the trade.
//!
//! In: a name's [`Words`] and the quantity of its written unit, if any. Out: a
//! [`Named`] role, or `None`. Whether values agree is decided elsewhere.
//!
//! Names: SAE J1979 and J1930 terms as public lists write them; synonyms and
//! abbreviations are common practice, no source. The intake air temperature at
//! the air filter and the charge air after the cooler are different things: a
//! name that says neither boost, charge, cooler nor manifold is inlet air.

use super::Role;
use super::names::Words;
use crate::unit::Quantity;

/// A role found by name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Named {
    pub role: Role,
    /// Whether the name leaves room for doubt ("air temp", "accel").
    pub loose: bool,
}

/// One line of the table: the role, what the name must have, what it must not.
/// Alternatives by `|`, all blank-separated parts needed; see [`Words::has`].
type Rule = (Role, &'static str, &'static str);

/// Words that make any channel something other than the measured thing.
const NOT_MEASURED: &str = "target|desired|commanded|command|setpoint|requested|request|demanded|demand|=soll|sollwert|=set|consigne|=cible|\
    objetivo|gewunscht|=limit|maximum|=max|minimum|=min|peak|average|=avg|durchschnitt|moyenne|=media|error|abweichung|deviation|duty|tastverhaltnis|\
    =count|counter|=flag|status|=valid|accuracy|quality|=source|delta|=diff|difference|correction|=corr|korrektur|=trim|threshold|=adc|predicted|目標|制限|最高|最大|平均|要求|指令|\
    soll|ziel|grenz|hochst|mindest|mittler|wunsch|differenz|vorgabe|empfehlung|=wind|windge|windsp|windsn|limite|maximal|massim|maxima|demande|=vent|souhaite|\
    deseado|deseada|solicitad|=viento|obiettivo|richiest|=vento|gewenst|=doel|doelsn|limiet|gemiddeld|=top|=mean|=slip|closing|=lead|rating|=shift|=launch|=offset|\
    recommend|adaption|adaptation|injection|=timing|retard|heater|fehler|=enable|enabled";

const TEMPERATURE: &str = "temp|temperatur|temperature|temperatura|temperatuur|=tmp|=t|degc|degf|温|температура|온도|teplota|homerseklet|temperatury";
/// What has to do with boost and is no manifold pressure.
const MORE_THAN_PRESSURE: &str = "temp|temperatur|fuel|oil|exhaust|rail|wastegate|=wg|solenoid|valve|exh|abgas|kraftstoff|=flow|mass|control|=ratio|beforethrottle|coolant|leak|accumulator|booster|pedal|select";
/// Nor what is drawn in or pushed out by another than the engine.
const MORE_THAN_INLET: &str = "temp|temperatur|fuel|oil|exhaust|rail|wastegate|=wg|solenoid|valve|exh|abgas|kraftstoff|=flow|mass|control|=ratio|beforethrottle|coolant|leak|accumulator|booster|pedal|select|compressor|turbin|verdichter";
const ACCELERATION: &str = "accel|=acc|acceleration|beschleunigung|aceleracion|accelerazione|acceleratie|versnelling|gforce|=g|=gs|加速|=imu|=ax|=gx|=longg|前後g";
const NOT_ACCELERATION: &str =
    "accelerator|accped|pedal|=ped|gyro|=rate|jerk|=gear|raw|event|grav|=ratio";
const ACROSS: &str = "lat|lateral|=y|=z|=ay|=az|=gy|=gz|vert|vertical|down|=up|left|right|quer|seitlich|=side|trans|vertikal|横|上下|transversal|lateraal|hoch|combined|=sum|total|magnitude|resultant|=vector";
const OTHER_HEAT: &str = "oil|exhaust|egt|abgas|=ol|oel|motorol|getriebeol|huile|aceite|=olio|=olie|transmission|getriebe|=trans|=gearbox|=cat|catalyst|katalysator|\
    fuel|kraftstoff|carburant|combustible|battery|batterie|=cpu|board|=ecu|=pcb|logger|=imu|brake|brems|frein|tyre|tire|reifen|pneu|cabin|interior|innenraum|habitacle|hvac|evap|\
    =head|cylinder|zylinder|turbine|=diff|differential|egr|=agr|particulate|=dpf|scr|sensor2?board|chip|device|=gps|clutch|kupplung";
const SPEED: &str = "speed|=spd|=vel|velocity|geschwindigkeit|geschw|vitesse|velocidad|velocita|snelheid|=v|=tempo|速度|車速|车速|=sog";
const CHARGE_WORD: &str = "charge|ladeluft|boost|intercooler|=ic|aftercooler|suralimentation|sobrealimentacion|sovralimentazione|=cac|=cact|=llk|echangeur|過給|インタークーラー";

/// In order: the first that fits wins, so the narrow ones stand first.
const RULES: &[Rule] = &[
    (
        Role::Latitude,
        "latitude|=lat|breitengrad|=breite|latitud|latitudine|breedtegraad|緯度",
        "accel|acc|g|force|beschl|lateral|quer",
    ),
    (
        Role::Longitude,
        "longitude|=lon|=long|=lng|langengrad|laengengrad|=lange|longitud|longitudine|lengtegraad|経度",
        "accel|acc|g|force|beschl|longitudinal|aceleracion|acceleration",
    ),
    (
        Role::Altitude,
        "altitude|=alt|elevation|=ele|=elev|=hohe|hoehe|hohemeter|altitud|altitudine|hoogte|標高|高度|=height",
        "density|oil|geoid|ellipsoid|separation",
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
        "gps|gnss|satellit|=sat|=sog|doppler|overground|衛星 speed|=spd|=vel|velocity|geschw|vitesse|velocidad|velocita|snelheid|=sog|速度|=kmh|=mph|=knots",
        "vertical|=vert|angular|=wind|=acc|accuracy|north|east|down|=hdop",
    ),
    (
        Role::BarometricPressure,
        "baro|barometer|barometric|atmospheric|atmosphere|luftdruck|umgebungsdruck|aussendruck|ambientpress|ambientairpress|ambientpressure|atmospherique|barometrique|atmosferica|barometrica|大気圧|=bap|=baro|=patm|ambientabs",
        "altitude|temp",
    ),
    (
        Role::BarometricPressure,
        "ambient|outside|umgebung|aussen|ambiante|exterieure|ambientale press|pressure|druck|pression|presion|pressione",
        "temp",
    ),
    (
        Role::Brake,
        "brake|bremse|brems|frein|=freno|=rem|remdruk|rempedaal|ブレーキ",
        "temp|temperatur|bias|balance|wear|pad|scheibe|disc|booster|vacuum",
    ),
    (
        Role::Pedal,
        "pedal|accped|pedpos|accelerator|=app|=apps|fahrpedal|gaspedal|=pwg|pedale|acelerador|acceleratore|accelerateur|pedaal|アクセル|gasstellung|driverpedal",
        "brake|clutch|brems|kupplung|frein|freno|embrayage|embrague|frizione|koppeling|force|select",
    ),
    (
        Role::Throttle,
        "throttle|drosselklappe|=tps|=tp|papillon|mariposa|farfalla|gasklep|スロットル|节气门|drosselkl|=dk|dkwinkel|дроссел|przepustnic|skrtic|fojtoszelep|스로틀|=wdk|=wdkba|=alphadk",
        "temp|pressure|press|inlet|body|volt|angle2|accelerator|actuatorcontrol|=idle|cruise|=hand",
    ),
    (
        Role::EngineSpeed,
        "=rpm|enginerpm|rotacao|rotacoes|engspd|=neng|=engrpm|=revs|enginespeed|engspeed|enginespd|motordrehzahl|drehzahl|regimemoteur|=regime|=nmot|regimen|=giri|girimotore|toerental|エンジン回転|回転数|发动机转速|=转速|発動機回転|обороты|=rpms|obroty|otacky|fordulatszam|엔진회전|회전수|引擎轉速|motordevri|crankspeed|tourspar|toursminute|vitessemoteur|velocidadmotor|revoluciones|=umdrehungen|=n",
        "turbo|turbin|fan|pump|wheel|=rad|trans|input|output|shaft|altern|idle|getriebe|lader|lufter|cam|abtrieb|antriebswelle|generator|raddrehzahl|ventil|=ratio|limiter|=coolant|boite|=cambio|ralenti|minimo|ファン|タービン|ポンプ|leerlauf",
    ),
    (
        Role::Gear,
        "=gear|=gang|gearposition|currentgear|actualgear|eingelegtergang|ganganzeige|=rapport|=marcia|=marcha|=gangi|marciainserita|=versnelling|=ギヤ|rapportengage|ギア|シフト位置|gearengaged|gearnumber|versnellingsstand",
        "oil|temp|=ratio|lever|shift|speed|efficiency|druck|selector|=switch|landing|=sensor|=pont|relacion|rapporto|reverse",
    ),
    (
        Role::VehicleSpeed,
        "vehiclespeed|=vss|=vfzg|=vveh|=vvehicle|rijsnelheid|=vcar|vehspeed|скорость|predkosc|rychlost|sebesseg|차속|차량속도|vehspd|carspeed|roadspeed|groundspeed|=speed|=spd|=velocity|=v|=vel|fahrzeuggeschwindigkeit|geschwindigkeit|geschw|vitesse|velocidad|velocita|snelheid|車速|车速|速度|speedo|=vspd|wheelspeed|wheelspd|raddrehzahl|=kmh|=mph|=kph",
        "=wind|windspeed|headwind|=down|=up|=tyre|=tire|reference|roue|rueda|ruota|=wiel|車輪|engage|fan|engine|motor|turbo|shaft|pump|cruise|idle|flow|angular|yaw|airspeed|limit|regime|steer|lader|=rad|vertical|north|east|blower|=wheel front|intake|source|sensor2|event|lenk|=ratio",
    ),
    (
        Role::ManifoldPressure,
        "=map|boost|ladedruck|saugrohrdruck|laaddruk|turbodruk|turbopress|ansaugdruck|ブースト|インマニ圧|吸気管圧|吸気圧|過給圧|наддув|doladowania|plnicitlak|toltonyomas|进气压力|进气歧管压力|=psaug|inlaatdruk|=pvdk|=pvdkds|pressturbo|pressioneturbo|mnfldprs|mnfldpress|manifoldprs|mapprs|=plade|=pladeluft|=pboost",
        MORE_THAN_PRESSURE,
    ),
    (
        Role::ManifoldPressure,
        "manifold|charge|intake|inlet|saugrohr|suralimentation|collecteur|collettore|colector|sobrealimentacion|sovralimentazione|admission|admision|aspirazione|インマニ press|pressure|druck|pression|presion|pressione|=druk|圧",
        MORE_THAN_INLET,
    ),
];

/// Air and coolant, for names or units that say temperature.
const HEAT_RULES: &[Rule] = &[
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
    (
        Role::CompressorOutletAir,
        "compressorout|compressordischarge|compressorexit|dischargetemp|turboout|superchargerout|beforeintercooler|preintercooler|=preic|=pric|beforecooler|beforechargecool|upstreamcooler|vorladeluft|=vorllk|nachverdichter|nachlader|avantechangeur|avantintercooler|chargeairtempin|intercoolerinlet|coolerinlet|coolerin|intercoolerin|verdichteraus|sortiecompresseur|salidacompresor|compressor|preic|iatpre|vorllk|vorkuhler|vorladeluftkuhler|vorintercooler|=cacin|cacintemp|antesdelintercooler|antesintercooler|primadelintercooler|primaintercooler|primadellintercooler|voorintercooler|voorkoeler",
        "compressorin|beforecompressor|vorverdichter",
    ),
    (
        Role::AmbientAir,
        "ambient|outside|outdoor|aussen|umgebung|exterieur|ambiant|exterior|esterna|esterno|buiten|外気|=aat|=oat|weather|ambiental|ambiente|=amb",
        "",
    ),
    (
        Role::ChargeAir,
        "chargeair|ladeluft|chargetemp|boosttemp|boostair|aftercooler|afterintercooler|postintercooler|=postic|postcooler|aftercharge|afterthecooler|downstreamcooler|=cact|=cat1|=act|=iat2|=tmap|manifoldair|manifoldtemp|=mat|intakemanifold|inletmanifold|saugrohr|suralimentation|sobrealimentacion|sovralimentazione|nachladeluft|nachllk|apresechangeur|apresintercooler|collecteur|collettore|colector|plenum|intercooler|=ic|=cac|chargecooler|throttleinlet|throttlebodyair|過給|インマニ|インタークーラー|laadlucht|laadluchttemp|=tcharge|=tboost|=tll|=tllk|=tladeluft|dopointercooler|boost|ansaugrohr|aftcooler|増圧後|增压后|中冷后|laddluft|suralimente|sortieechangeur|sortieintercooler",
        "",
    ),
    (
        Role::Coolant,
        "coolant|=ect|=clt|=cts|kuhlmittel|kuehlmittel|kuhlwasser|kuehlwasser|wasser|=water|watertemp|refroidissement|refrigerante|raffreddamento|koelvloeistof|koelwater|=eau|=acqua|=agua|冷却水|冷却液|水温|clnttmp|clnttemp|=clnt|enginetemp|ожтемпература|охлаждающ|=ож|chladici|chladiva|hutoviz|plynuchlodz|chlodziwa|냉각수|冷却水温|motortemp|=tmot|=tkm|=tkuehl|=tkuhl|=tclnt|=tcoolant|temperaturemoteur|liquido|engtemp",
        "charge|intercooler|aftercooler|radiatorout|=fan",
    ),
    (
        Role::InletAir,
        "intake|inlet|=iat|=iats|ansaug|admission|aspirazione|aspirata|admision|inlaat|aanzuig|吸気|吸入空気|进气温度|впуск|dolotow|nasavan|szivott|흡기|airfilter|airbox|luftfilter|filtreaair|aircleaner|vorverdichter|beforecompressor|compressorin|=ait|=tans|=tansaug|=tintake|=tair",
        "",
    ),
    (
        Role::InletAir,
        "airtemp|=air|lufttemp|temparia|airetemp|temperatureair|temperaturaaria|=maft|luchttemp",
        "outlet|out",
    ),
];

/// The role a name asks for, given the quantity of its unit where the file tells it.
pub fn named(name: &Words, quantity: Option<Quantity>) -> Option<Named> {
    if name.has(NOT_MEASURED) {
        return None;
    }
    let found = match quantity {
        Some(Quantity::Temperature) => heat(name),
        Some(Quantity::Acceleration) => acceleration(name, true),
        Some(Quantity::EngineSpeed) if name.words.len() == 1 && name.has(JUST_ENGINE) => {
            Some(Named { role: Role::EngineSpeed, loose: false })
        }
        _ => wheel(name)
            .or_else(|| acceleration(name, false))
            .or_else(|| said_heat(name, quantity))
            .or_else(|| plain(name)),
    };
    found.filter(|named| quantity.is_none_or(|quantity| fits(named.role, quantity)))
}

/// Names that say no more than whose revolutions they are: the unit says the rest.
const JUST_ENGINE: &str = "=engine|=eng|=motor|=moteur|=motore";

/// Whether a role can be written in a unit of this quantity.
pub fn fits(role: Role, quantity: Quantity) -> bool {
    let own = quantity_of(role);
    // A switch or a pressure is as good for a brake as a share.
    own == quantity || (role == Role::Brake && quantity == Quantity::Pressure)
}

/// What kind of thing a role is measured in.
pub fn quantity_of(role: Role) -> Quantity {
    use Role::*;
    match role {
        VehicleSpeed | SatelliteSpeed | UndrivenWheelSpeed => Quantity::Speed,
        WheelSpeedFrontLeft | WheelSpeedFrontRight | WheelSpeedRearLeft | WheelSpeedRearRight => {
            Quantity::Speed
        }
        EngineSpeed => Quantity::EngineSpeed,
        Throttle | Pedal | Brake | RelativeHumidity => Quantity::Share,
        Gear => Quantity::Number,
        LongitudinalAcceleration => Quantity::Acceleration,
        InletAir | ChargeAir | CompressorOutletAir | AmbientAir | Coolant | ChargeCoolant => {
            Quantity::Temperature
        }
        ManifoldPressure | BarometricPressure => Quantity::Pressure,
        Latitude | Longitude => Quantity::Angle,
        Altitude => Quantity::Length,
    }
}

fn plain(name: &Words) -> Option<Named> {
    let rule = first(RULES, name)?;
    let loose = name.words.len() == 1 && name.joined.len() == 1;
    Some(Named { role: rule, loose })
}

fn first(rules: &[Rule], name: &Words) -> Option<Role> {
    let fits = |rule: &&Rule| name.has_all(rule.1) && (rule.2.is_empty() || !any(name, rule.2));
    rules.iter().find(fits).map(|rule| rule.0)
}

/// Refusals are alternatives throughout, blanks included.
fn any(name: &Words, refused: &'static str) -> bool {
    refused.split(' ').any(|part| name.has(part))
}

/// Abbreviations that say temperature by themselves.
const HEAT_NAMES: &str = "iat|iats|ect|clt|cts|act|mat|aat|oat|cact|tmap|ait|maft|tcharge|tboost|=tll|=tllk|=tladeluft|=tmot|=tkm|=tkuehl|=tkuhl|=tclnt|=tcoolant|=tans|=tansaug|=tintake";

fn said_heat(name: &Words, quantity: Option<Quantity>) -> Option<Named> {
    // "Coolant" alone is its temperature; its level, flow or pump are not.
    let coolant = name
        .has("coolant|kuhlmittel|kuehlmittel|kuhlwasser|kuehlwasser|koelvloeistof|refrigerante")
        && !name.has("level|=flow|pump|pumpe|=fan|stand|niveau|=duty|valve|ventil|leak|=status");
    let says = name.has(TEMPERATURE) || name.has(HEAT_NAMES) || coolant;
    if quantity.is_some() || !says || name.has("press|pressure|druck|speed") {
        return None;
    }
    heat(name)
}

fn heat(name: &Words) -> Option<Named> {
    if name.has(OTHER_HEAT) && !name.has(CHARGE_WORD) {
        return None;
    }
    let role = first(HEAT_RULES, name)?;
    let by_last_rule = role == Role::InletAir && !name.has(HEAT_RULES[HEAT_RULES.len() - 2].1);
    Some(Named { role, loose: by_last_rule || name.has("act|mat|iat2|tmap|manifold") })
}

fn acceleration(name: &Words, sure: bool) -> Option<Named> {
    let is = (sure || name.has(ACCELERATION)) && !name.has(NOT_ACCELERATION) && !name.has(ACROSS);
    let along = name.has("long|longitudinal|forward|fwd|=x|laengs|langs|fore|inline|=ax|=gx|前後|forwards|longg|voorwaarts|avant");
    let plainly =
        name.has("accel|=acc|acceleration|beschleunigung|aceleracion|accelerazione|acceleratie");
    (is && (along || plainly)).then_some(Named {
        role: Role::LongitudinalAcceleration,
        loose: !along || name.has("=x|ax|gx"),
    })
}

/// Whether a name is one axis of an accelerometer.
pub fn is_axis(name: &Words) -> bool {
    name.has(ACCELERATION)
        && !name.has(NOT_ACCELERATION)
        && name.has("=x|=y|=z|=ax|=ay|=az|=gx|=gy|=gz")
}

/// A wheel of its own: `wheel_speed_FL`, `Raddrehzahl VL`, `WSRR`.
fn wheel(name: &Words) -> Option<Named> {
    let wheel = name.has(
        "wheel|=rad|raddrehzahl|radgeschw|roue|rueda|ruota|=wiel|=whl|=ws|=wspd|whlspd|=wss|車輪",
    );
    let corner = corner(name)?;
    let glued = ["wsfl", "wsfr", "wsrl", "wsrr"].iter().any(|glued| name.joined.contains(glued));
    let speed = name.has(SPEED) || name.has("drehzahl|=ws|=wss|=wspd|whlspd") || glued;
    let other = name.has("slip|temp|press|torque|accel|travel|angle|druck");
    ((wheel || glued) && speed && !other).then_some(Named { role: corner, loose: false })
}

fn corner(name: &Words) -> Option<Role> {
    const CORNERS: [(Role, &str, &str); 4] = [
        (
            Role::WheelSpeedFrontLeft,
            "fl|lf|vl|frontleft|leftfront|vornelinks|vornlinks|avantgauche|delanteraizquierda|anterioresinistra|linksvoor",
            "fl",
        ),
        (
            Role::WheelSpeedFrontRight,
            "fr|rf|vr|frontright|rightfront|vornerechts|vornrechts|avantdroit|delanteraderecha|anterioredestra|rechtsvoor",
            "fr",
        ),
        (
            Role::WheelSpeedRearLeft,
            "rl|lr|hl|rearleft|leftrear|hintenlinks|arrieregauche|traseraizquierda|posterioresinistra|linksachter",
            "rl",
        ),
        (
            Role::WheelSpeedRearRight,
            "rr|hr|rearright|rightrear|hintenrechts|arrieredroit|traseraderecha|posterioredestra|rechtsachter",
            "rr",
        ),
    ];
    let ends = |corner: &str| {
        ["wheelspeed", "wheelspd", "whlspd", "wspd", "ws", "wheel"]
            .iter()
            .any(|stem| name.joined.contains(&format!("{stem}{corner}")))
    };
    CORNERS.iter().find(|(_, words, glued)| name.has(words) || ends(glued)).map(|(role, ..)| *role)
}
