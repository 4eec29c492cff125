//! Names of things that are not measured: what was wanted, allowed, counted, averaged.
//!
//! One list a kind, in the languages of the trade, joined into one. A setpoint or a
//! limit follows the measured thing closely enough to pass every check of values, so
//! its name must tell it. Words of four letters and more are found inside compounds:
//! `Solldrehzahl`, `Drehzahlgrenze`, `Doelsnelheid`. Common practice, no source.

/// Words that make any channel something other than the measured thing.
pub const NOT_MEASURED: &str = concat!(
    // What was asked for.
    "target|desired|commanded|command|setpoint|requested|request|demanded|demand|=set|=wanted|recommend|predicted|suggest|nominal|",
    "soll|ziel|wunsch|vorgabe|anforderung|empfehl|consigne|=cible|souhait|=voulu|voulue|demande|objetivo|desead|solicitad|consigna|desejad|",
    "tavoite|pyynti|onsket|forventet|задан|grænse|",
    "obiettivo|richiest|desiderat|impostat|gewenst|doel|streef|gevraagd|ingesteld|richtgeschw|推奨|目標|指令|要求|設定|",
    // Ends of what is allowed or was ever met.
    "limit|maxim|=max|minim|=min|peak|=top|topsnelheid|spitzen|nenndrehzahl|abregel|schaltdrehzahl|upshift|=maxi|=mini|coupure|=corte|=pointe|=punta|threshold|redline|=rating|warning|overspeed|ceiling|",
    "grenz|grens|hochst|hoechst|schwelle|mindest|seuil|rupteur|umbral|massim|soglia|limiet|drempel|制限|最高|最大|最低|最小|上限|下限|限界|",
    // Means over time.
    "average|=avg|=mean|=median|durchschnitt|schnittgeschw|mittelwert|=mittlere|=mittlerer|=mittleres|moyen|=media|=medio|promedio|gemiddeld|平均|",
    // Differences and what is added to a reading.
    "error|abweichung|deviation|delta|=diff|difference|differenz|=offset|correction|=corr|korrektur|=trim|fehler|ecart|erreur|",
    "desviacion|correccion|scarto|errore|correzione|afwijking|verschil|correctie|偏差|誤差|補正|",
    // States, counts, and the doings of a controller.
    "duty|tastverhaltnis|=count|counter|=flag|status|=valid|accuracy|quality|=source|=adc|enable|selector|selection|=select|wahlhebel|waehlhebel|adaption|adaptation|learned|=learn|launchcontrol|shiftlight|shiftpoint",
);

/// The French front left wheel (avant gauche) is no average.
pub const BUT_MEASURED: &str = "roue avg";

/// What a temperature is named after without being it: a switch, a heater, a timing.
pub const NOT_HEAT: &str = "retard|timing|advance|=heater|heating|heizung|chauffage|=fan|lufterein|injection|einspritz|washer|spannung|spenning|=light|ventilador|ventilateur|ventola";

/// One part of a velocity: along an axis of the map, of the car, or of a receiver.
macro_rules! parts_of_velocity {
    () => {
        "vertical|=vert|=climb|lateral|speedx|speedy|speedz|velx|vely|velz|velocityx|velocityy|velocityz|=vx|=vy|=vz|geschwindigkeitx|geschwindigkeity|vitessex|vitessey|velocidadx|velocitax|snelheidx|=n|=e|veld|velocityd|speedd|velu|north|east|south|west|=down|=up|=ned|=enu|=nord|=sud|=ost|=oost|=zuid|=noord|=norte|=este|=oeste|=sur|=est|=ouest|=ovest"
    };
}

/// Speeds in the name of a vehicle that are not its own.
pub const NOT_ITS_SPEED: &str = concat!(
    parts_of_velocity!(),
    "|",
    "=wind|windspeed|headwind|windgeschw|windsnelheid|=vent|viento|=vento|風速|airspeed|",
    "reference|=lead|=slip|schlupf|closing|launch|=shift|tyre|tire|preceding|cruise|tempomat|regulateur|crucero|crociera|kruis|巡航|corner|=entry|=exit|=axle|radar|navi|",
    "fan|engine|motor|turbo|shaft|pump|blower|lader|idle|flow|intake|regime|",
    "angular|yaw|steer|lenk|gier|lacet|guinada|imbardata|ヨー|",
    "piston|kolben|damper|dampfer|amortig|ammortizz|suspension|=rail|belt|riemen|courroie|cinghia|sound|schall|wiper|wischer|",
    "rotor|=drum|trommel|centrifug|spindle|spindel|",
    "roue|rueda|ruota|=wiel|wielsnelheid|車輪|=rad|=wheel|front|",
    "engagee|enclenchee|source|event|sensor2|=ratio|vcore|=core|=cpu|=gpu|=vcc|=vref"
);

/// Things that turn beside the engine.
pub const NOT_ITS_ENGINE: &str = concat!(
    "turbo|turbin|fan|pump|wheel|=rad|trans|input|output|shaft|altern|generator|=cam|camshaft|propeller|blower|=hvac|",
    "getriebe|lader|lufter|abtrieb|antriebswelle|raddrehzahl|ventil|boite|roue|pompe|pompa|bomba|ventola|cambio|versnellingsbak|",
    "ファン|タービン|ポンプ|車輪|",
    "rotor|=drum|trommel|centrifug|zentrifug|spindle|spindel|mixer|stirrer|ruhrer|",
    "idle|アイドル|leerlauf|ralenti|stationair|launch|=shift|=ratio|=coolant"
);
