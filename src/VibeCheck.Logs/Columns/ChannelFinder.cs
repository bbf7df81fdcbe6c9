namespace VibeCheck.Logs.Columns;

/// <summary>Says what a column is from its header alone.</summary>
internal static class ChannelFinder
{
    private static readonly HashSet<string> TimeWords =
    [
        "time",
        "t",
        "timestamp",
        "timestamps",
        "stamp",
        "ts",
        "clock",
        "utc",
        "date",
        "datetime",
        "seconds",
        "secs",
        "sec",
        "s",
        "ms",
        "msec",
        "millis",
        "milliseconds",
        "micros",
        "microseconds",
        "us",
        "usec",
        "ns",
        "nanos",
        "nanoseconds",
        "elapsed",
        "uptime",
        "epoch",
        "zeit",
        "tow",
        // German, French, Spanish, Italian, Portuguese, Dutch, Polish, Swedish; without marks on letters.
        "zeitstempel",
        "uhrzeit",
        "datum",
        "sekunden",
        "temps",
        "horodatage",
        "secondes",
        "tiempo",
        "hora",
        "fecha",
        "segundos",
        "tempo",
        "orario",
        "secondi",
        "instante",
        "tijd",
        "tijdstip",
        "tijdstempel",
        "seconden",
        "czas",
        "znacznik",
        "sekundy",
        "tid",
        "tidpunkt",
        "sekunder",
    ];

    private static readonly HashSet<string> TimeNeutral =
    [
        "log",
        "logger",
        "system",
        "sys",
        "imu",
        "esc",
        "boot",
        "since",
        "start",
        "from",
        "of",
        "the",
        "sample",
        "local",
        "recorder",
        "device",
        "host",
        "rel",
        "relative",
        "abs",
        "absolute",
        "unix",
        "day",
        "iso",
        "arming",
        "on",
        "flight",
        "record",
        "monotonic",
        "sensor",
        "acc",
        "gyro",
        "mcu",
        "8601",
        "power",
    ];

    private static readonly HashSet<string> Rejected =
    [
        "setpoint",
        "sp",
        "target",
        "desired",
        "des",
        "ref",
        "reference",
        "bias",
        "offset",
        "var",
        "variance",
        "std",
        "cov",
        "error",
        "err",
        "errors",
        "status",
        "flag",
        "flags",
        "count",
        "counter",
        "crc",
        "fft",
        "integral",
        "int",
        "consumed",
        "consumption",
        "mah",
        "jerk",
        "clip",
        "clipping",
        "valid",
        "health",
        "limit",
        "max",
        "min",
        "noise",
        "power",
        "watt",
        "w2",
        "energy",
        "quality",
        "rssi",
    ];

    private static readonly HashSet<string> AccWords =
    [
        "acc",
        "accel",
        "accelerometer",
        "acceleration",
        "accelerations",
        "accl",
        "accs",
        "specific",
        "beschleunigung",
        "linacc",
        // German, French, Spanish, Italian, Portuguese, Dutch, Polish, Swedish; without marks on letters.
        "beschl",
        "aceleracion",
        "accelerazione",
        "aceleracao",
        "versnelling",
        "przyspieszenie",
        "przyspieszenia",
    ];

    private static readonly HashSet<string> GyroWords =
    [
        "gyro",
        "gyr",
        "gyroscope",
        "gyros",
        "omega",
        "angular",
        "rates",
        "gyrometer",
        "drehrate",
        "winkelgeschwindigkeit",
        // German, French, Spanish, Italian, Portuguese, Dutch, Polish, Swedish; without marks on letters.
        "drehraten",
        "kreisel",
        "gyroskop",
        "giroscopio",
        "girouette",
        "angulaire",
        "angolare",
        "hoeksnelheid",
        "katowa",
        "vinkelhastighet",
    ];
    private static readonly HashSet<string> RotorWords =
    [
        "motor",
        "motors",
        "mot",
        "mtr",
        "m",
        "esc",
        "escs",
        "rotor",
        "prop",
        "propeller",
        "engine",
        "eng",
        "bldc",
        "drive",
        // German, French, Spanish, Italian, Portuguese, Dutch, Polish, Swedish; without marks on letters.
        "moteur",
        "moteurs",
        "motore",
        "motori",
        "motores",
        "silnik",
        "silniki",
        "regler",
        "variateur",
        "variador",
        "regolatore",
        "regelaar",
        "regulator",
        "rotore",
    ];
    private static readonly HashSet<string> SpeedWords =
    [
        "rpm",
        "erpm",
        "krpm",
        "speed",
        "freq",
        "frequency",
        "revs",
        "revolutions",
        "n",
        "drehzahl",
        "rotation",
        "omega",
        "rotational",
        "velocity",
        // German, French, Spanish, Italian, Portuguese, Dutch, Polish, Swedish; without marks on letters.
        "drehzahlen",
        "regime",
        "vitesse",
        "tours",
        "velocidad",
        "vueltas",
        "revoluciones",
        "velocita",
        "giri",
        "rotacao",
        "rotacoes",
        "velocidade",
        "toerental",
        "snelheid",
        "obroty",
        "predkosc",
        "varvtal",
        "hastighet",
    ];
    private static readonly HashSet<string> TempWords =
    [
        "temp",
        "temperature",
        "temperatures",
        "temps",
        "tmp",
        "temperatur",
        // German, French, Spanish, Italian, Portuguese, Dutch, Polish, Swedish; without marks on letters.
        "temperaturen",
        "temperatura",
        "temperaturas",
        "temperatuur",
    ];
    private static readonly HashSet<string> CurrentWords =
    [
        "current",
        "curr",
        "cur",
        "currents",
        "amps",
        "amp",
        "amperage",
        "strom",
        "i",
        // German, French, Spanish, Italian, Portuguese, Dutch, Polish, Swedish; without marks on letters.
        "stromstarke",
        "courant",
        "intensite",
        "corriente",
        "corrente",
        "stroom",
        "stroomsterkte",
        "prad",
    ];
    private static readonly HashSet<string> VoltageWords =
    [
        "voltage",
        "volt",
        "volts",
        "voltages",
        "vbus",
        "u",
        "v",
        "vin",
        // German, French, Spanish, Italian, Portuguese, Dutch, Polish, Swedish; without marks on letters.
        "spannung",
        "tension",
        "voltaje",
        "tensione",
        "tensao",
        "spanning",
        "napiecie",
    ];
    private static readonly HashSet<string> CommandWords =
    [
        "cmd",
        "command",
        "commands",
        "throttle",
        "thr",
        "pwm",
        "output",
        "out",
        "outputs",
        "duty",
        "demand",
        "control",
        "ctrl",
        "actuator",
        "input",
        "thrust",
        // German, French, Spanish, Italian, Portuguese, Dutch, Polish, Swedish; without marks on letters.
        "gas",
        "gaz",
        "stellwert",
        "stellgrosse",
        "ansteuerung",
        "commande",
        "consigne",
        "acelerador",
        "mando",
        "orden",
        "comando",
        "gashendel",
        "aansturing",
        "przepustnica",
        "sterowanie",
        "gaspadrag",
        "styrning",
    ];

    private static readonly HashSet<string> EscTempWords =
    [
        "mos",
        "mosfet",
        "fet",
        "fets",
        "board",
        "pcb",
        "controller",
        "inverter",
        "bridge",
    ];
    private static readonly HashSet<string> MotorTempWords = ["winding", "coil", "stator", "bell", "case", "windings", "coils"];
    private static readonly HashSet<string> BatteryWords =
    [
        "battery",
        "bat",
        "batt",
        "vbat",
        "vbatt",
        "pack",
        "lipo",
        "main",
        "supply",
        // German, French, Spanish, Italian, Portuguese, Dutch, Polish, Swedish; without marks on letters.
        "akku",
        "batterie",
        "batterien",
        "bateria",
        "batteria",
        "accu",
        "accumulateur",
        "akumulator",
        "batteri",
    ];
    private static readonly HashSet<string> HeightWords =
    [
        "height",
        "alt",
        "altitude",
        "hoehe",
        // German, French, Spanish, Italian, Portuguese, Dutch, Polish, Swedish; without marks on letters.
        "hohe",
        "flughohe",
        "hauteur",
        "altura",
        "altitud",
        "altezza",
        "quota",
        "hoogte",
        "wysokosc",
        "hojd",
    ];
    private static readonly HashSet<string> AmbientWords =
    [
        "ambient",
        "outside",
        "air",
        "oat",
        "environment",
        "room",
        "outdoor",
        // German, French, Spanish, Italian, Portuguese, Dutch, Polish, Swedish; without marks on letters.
        "umgebung",
        "aussen",
        "luft",
        "ambiante",
        "exterieur",
        "ambiente",
        "exterior",
        "esterno",
        "omgeving",
        "buiten",
        "otoczenie",
        "otoczenia",
        "omgivning",
    ];
    private static readonly HashSet<string> IdWords =
    [
        "id",
        "ids",
        "index",
        "idx",
        "no",
        "nr",
        "num",
        "number",
        "name",
        "instance",
        "node",
        "address",
        "label",
    ];

    private static readonly HashSet<string> LabelNoise =
    [
        "telemetry",
        "tlm",
        "feedback",
        "fb",
        "actual",
        "act",
        "measured",
        "meas",
        "mean",
        "avg",
        "inst",
        "status",
        "report",
        "data",
        "value",
        "values",
        "phase",
        "dc",
        "bus",
        "electrical",
        "mechanical",
        "mech",
        "elec",
        "el",
        "e",
        "raw",
        "filtered",
        "filt",
        "unfiltered",
        "unfilt",
        "id",
        "no",
        "nr",
        "number",
        "index",
        "degc",
        "c",
        "the",
        "of",
        "for",
        "at",
        "in",
        "angular",
        "cycle",
        "ratio",
        "state",
        "system",
        "log",
        "level",
        "x",
    ];

    /// <summary>What the header says: the channel, and the unit if it gives one that fits. Channel null when of no interest.</summary>
    internal static (Channel? Channel, Unit? Unit) Find(string header)
    {
        // A header that starts as a formula names nothing; it is shown as text and left alone.
        if (header.Length is 0 or > 200 || header[0] is '=' or '@')
        {
            return (null, null);
        }

        IReadOnlyList<HeaderText> ways = HeaderText.WaysToRead(header);
        foreach (HeaderText way in ways)
        {
            if (way.UnitCandidates.Count > 0 && WithUnit(way) is { } found)
            {
                return found;
            }
        }

        return (ByWords(ways[^1].Words, null), null);
    }

    private static (Channel?, Unit?)? WithUnit(HeaderText way)
    {
        foreach (string candidate in way.UnitCandidates)
        {
            foreach (Unit unit in UnitTable.Find(candidate))
            {
                Channel? channel = ByWords(way.Words, unit);
                if (channel is not null && UnitTable.Fits(unit, channel.Quantity))
                {
                    return (channel, unit);
                }
            }
        }

        return null;
    }

    private static Channel? ByWords(IReadOnlyList<string> words, Unit? unit)
    {
        if (words.Count == 0)
        {
            return null;
        }

        bool Has(HashSet<string> set) => words.Any(set.Contains);
        if (IsTime(words, unit))
        {
            return new(Quantity.Time);
        }

        if (IsId(words) is { } id)
        {
            return new(id);
        }

        if (Has(Rejected) && !(Has(RotorWords) && words.Contains("power") && unit?.Kind is UnitKind.Share or UnitKind.PulseWidth))
        {
            return null;
        }

        Channel? channel = Inertial(words, unit) ?? Aircraft(words, unit) ?? Motor(words, unit);
        return channel is null ? null : channel with { Rank = Rank(words) };
    }

    private static int Rank(IReadOnlyList<string> words) =>
        words.Any(w => w is "filtered" or "filt" or "lpf" or "smoothed") ? -1
        : words.Any(w => w is "unfiltered" or "unfilt" or "raw") ? 1
        : 0;

    private static bool IsTime(IReadOnlyList<string> words, Unit? unit)
    {
        bool any = false;
        foreach (string word in words)
        {
            bool time = TimeWords.Contains(word);
            any |= time;
            if (!time && !TimeNeutral.Contains(word))
            {
                return false;
            }
        }

        return any && (unit is null || unit.Kind == UnitKind.Time);
    }

    private static Quantity? IsId(IReadOnlyList<string> words)
    {
        bool motor = words.All(w => RotorWords.Contains(w) || IdWords.Contains(w) || w is "unit" or "channel") && !words.Contains("m");
        if (motor && words.Any(w => RotorWords.Contains(w) || w is "instance" or "node" or "unit"))
        {
            return Quantity.MotorId;
        }

        bool imu =
            words.All(w => w is "imu" or "sensor" or "accel" or "acc" or "unit" || IdWords.Contains(w))
                && words.Any(w => w is "imu" or "sensor")
            || (words.Count > 1 && words.All(w => w is "accel" or "acc" || IdWords.Contains(w)) && words.Any(IdWords.Contains));
        return imu ? Quantity.ImuId : null;
    }

    private static Channel? Inertial(IReadOnlyList<string> words, Unit? unit)
    {
        bool acc = words.Any(AccWords.Contains);
        bool rotor = words.Any(w => RotorWords.Contains(w) && (w != "m" || words.Any(o => o.All(char.IsAsciiDigit))));
        bool gyro = words.Any(GyroWords.Contains) && !(rotor && words.Contains("omega"));
        int single = words.Count(w => w.Length == 1 && char.IsAsciiLetter(w[0]) && AxisOf(w) < 0);
        if (!acc && !gyro && !rotor)
        {
            bool rotation =
                words.Any(w => w is "rate" or "speed" or "velocity" or "vel")
                && !words.Any(RotorWords.Contains)
                && (AxisOf(words) >= 0 && (words.Contains("rate") || unit?.Kind == UnitKind.AngularRate) || TurnAxis(words) >= 0);
            acc = single == 1 && words.Contains("a") && AxisOf(words) >= 0;
            gyro =
                rotation
                || (single == 1 && words.Any(w => w is "g" or "w") && AxisOf(words) >= 0)
                || (unit?.Kind == UnitKind.AngularRate && TurnAxis(words) >= 0)
                || (words.Count == 1 && words[0] is "p" or "q" or "r");
            bool byUnit = unit?.Kind == UnitKind.Acceleration && AxisOf(words) >= 0 && !words.Any(w => w is "mag" or "vel" or "velocity");
            acc |= byUnit;
            gyro &= !byUnit;
        }

        if (acc == gyro)
        {
            return null;
        }

        int axis = AxisOf(words);
        if (axis < 0 && gyro)
        {
            axis = TurnAxis(words);
        }

        List<int> numbers = [.. words.Where(w => w.Length <= 3 && w.All(char.IsAsciiDigit)).Select(int.Parse)];
        if (axis < 0 && numbers.Count > 0 && numbers[^1] is >= 0 and <= 2)
        {
            axis = numbers[^1];
            numbers.RemoveAt(numbers.Count - 1);
        }

        return axis < 0
            ? null
            : new(acc ? Quantity.Acceleration : Quantity.Rate) { Axis = axis, ImuNumber = numbers.Count > 0 ? numbers[0] : null };
    }

    private static int AxisOf(string word) =>
        word switch
        {
            "x" => 0,
            "y" => 1,
            "z" => 2,
            _ => -1,
        };

    private static int AxisOf(IReadOnlyList<string> words)
    {
        int axis = -1;
        foreach (string word in words)
        {
            axis = Math.Max(axis, AxisOf(word));
        }

        return axis;
    }

    private static int TurnAxis(IReadOnlyList<string> words) =>
        words.Any(w => w is "roll" or "p") ? 0
        : words.Any(w => w is "pitch" or "q") ? 1
        : words.Any(w => w is "yaw" or "r") ? 2
        : -1;

    private static Channel? Aircraft(IReadOnlyList<string> words, Unit? unit)
    {
        bool hasMotor = words.Any(w => RotorWords.Contains(w) && w != "m");
        if (hasMotor)
        {
            return null;
        }

        if (
            words.Any(BatteryWords.Contains)
            && (unit?.Kind == UnitKind.Voltage || words.Any(w => w is "vbat" or "vbatt") || words.Any(VoltageWords.Contains))
            && !words.Any(CurrentWords.Contains)
            && !words.Any(w => w is "cell")
        )
        {
            return new(Quantity.BatteryVoltage);
        }

        bool height = words.Any(HeightWords.Contains) || (words.Any(w => w is "pos" or "position") && words.Contains("z"));
        if (height && (unit is null || unit.Kind == UnitKind.Length))
        {
            return new(Quantity.Height) { Down = words.Any(w => w is "down" or "ned" or "d") };
        }

        return words.Any(AmbientWords.Contains) && words.Any(TempWords.Contains) ? new(Quantity.Ambient) : null;
    }

    private static Channel? Motor(IReadOnlyList<string> words, Unit? unit)
    {
        Quantity? quantity = MotorQuantity(words, unit, out string? doubt);
        if (quantity is null)
        {
            return null;
        }

        (int? number, string? name) = MotorLabel(words);
        bool bare = number is null && name is null;
        bool clear = words.Any(RotorWords.Contains) || !bare;
        return clear || bare
            ? new(quantity.Value)
            {
                MotorNumber = number,
                MotorName = name,
                Doubt = doubt,
            }
            : null;
    }

    private static Quantity? MotorQuantity(IReadOnlyList<string> words, Unit? unit, out string? doubt)
    {
        doubt = null;
        bool rotor = words.Any(RotorWords.Contains);
        bool rpm =
            words.Any(w =>
                w is "rpm" or "erpm" or "krpm" or "drehzahl" or "drehzahlen" or "toerental" or "obroty" or "varvtal" or "giri" or "rotacao"
            )
            || unit?.Kind == UnitKind.RotorSpeed;
        if (rpm || (rotor && words.Any(SpeedWords.Contains)))
        {
            return
                words.Any(w => w is "wind" or "ground" or "airspeed" or "gps" or "roll" or "pitch" or "yaw" or "sample" or "loop")
                || (!rpm && !rotor)
                || (unit?.Symbol is "Hz" or "rad/s" or "deg/s" && !rotor && !words.Any(SpeedWords.Contains))
                ? null
                : Quantity.RotorSpeed;
        }

        if (words.Any(TempWords.Contains) || unit?.Kind == UnitKind.Temperature)
        {
            return Temperature(words, out doubt);
        }

        if (
            words.Any(w =>
                w is "battery" or "batt" or "bat" or "cell" or "gimbal" or "servo" or "gps" or "mag" or "stick" or "rc" or "rate" or "pos"
            )
        )
        {
            return null;
        }

        if (unit?.Kind == UnitKind.Current || (unit is null && words.Any(w => CurrentWords.Contains(w) && w != "i")))
        {
            return Quantity.Current;
        }

        if (unit?.Kind == UnitKind.Voltage || (unit is null && words.Any(w => VoltageWords.Contains(w) && w.Length > 1)))
        {
            return Quantity.Voltage;
        }

        bool command = words.Any(CommandWords.Contains);
        if (command || (rotor && unit?.Kind is UnitKind.Share or UnitKind.PulseWidth))
        {
            return Quantity.Command;
        }

        bool bareMotor =
            unit is null
            && rotor
            && !words.Contains("m")
            && words.All(w => RotorWords.Contains(w) || w.All(char.IsAsciiDigit))
            && words.Count > 1;
        doubt = bareMotor ? "the header names a motor but no quantity; read as its command" : null;
        return bareMotor ? Quantity.Command : null;
    }

    /// <summary>Motor or ESC: the word next before "temp" decides, else any word that only one
    /// of them has, else the motor with a doubt.</summary>
    private static Quantity? Temperature(IReadOnlyList<string> words, out string? doubt)
    {
        doubt = null;
        if (
            words.Any(w =>
                AmbientWords.Contains(w)
                || BatteryWords.Contains(w)
                || w is "imu" or "gyro" or "acc" or "baro" or "cpu" or "mcu" or "core" or "sensor" or "mag" or "gps"
            )
        )
        {
            return null;
        }

        if (words.Any(MotorTempWords.Contains))
        {
            return Quantity.MotorTemp;
        }

        if (words.Any(EscTempWords.Contains))
        {
            return Quantity.EscTemp;
        }

        int at = 0;
        while (at < words.Count && !TempWords.Contains(words[at]))
        {
            at++;
        }

        for (int step = 1; step < words.Count; step++)
        {
            foreach (int i in (int[])[at - step, at + step])
            {
                string word = i >= 0 && i < words.Count ? words[i] : "";
                if (
                    word is "esc" or "escs" or "drive" or "regler" or "variateur" or "variador" or "regolatore" or "regelaar" or "regulator"
                )
                {
                    return Quantity.EscTemp;
                }

                if (RotorWords.Contains(word) && word != "m")
                {
                    return Quantity.MotorTemp;
                }
            }
        }

        doubt = "the header says only \"temp\"; read as the motor's temperature, not sure";
        return Quantity.MotorTemp;
    }

    private static (int? Number, string? Name) MotorLabel(IReadOnlyList<string> words)
    {
        int? number = null;
        bool afterMotor = false;
        var rest = new List<string>();
        for (int i = 0; i < words.Count; i++)
        {
            string word = words[i];
            if (word.Length <= 3 && word.All(char.IsAsciiDigit))
            {
                bool named = i > 0 && RotorWords.Contains(words[i - 1]);
                if (number is null || (named && !afterMotor))
                {
                    number = int.Parse(word, System.Globalization.CultureInfo.InvariantCulture);
                    afterMotor = named;
                }
            }
            else if (!IsQuantityWord(word) && !LabelNoise.Contains(word))
            {
                rest.Add(word);
            }
        }

        return (number, rest.Count == 0 ? null : string.Join(' ', rest));
    }

    private static bool IsQuantityWord(string word) =>
        RotorWords.Contains(word)
        || (SpeedWords.Contains(word) && word != "n")
        || TempWords.Contains(word)
        || (CurrentWords.Contains(word) && word != "i")
        || (VoltageWords.Contains(word) && word.Length > 1)
        || CommandWords.Contains(word)
        || EscTempWords.Contains(word)
        || MotorTempWords.Contains(word);
}
