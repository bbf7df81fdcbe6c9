using static VibeCheck.Logs.Columns.ChannelWords;

namespace VibeCheck.Logs.Columns;

/// <summary>Finds the motor or ESC quantity of a column from the words of its header, and the motor.</summary>
internal static class MotorChannelFinder
{
    /// <summary>The channel of a motor or its ESC; null when the words name none.</summary>
    internal static Channel? Find(IReadOnlyList<string> words, Unit? unit)
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

    /// <summary>Motor or ESC: the word directly before "temp" decides; else any word that belongs to only one of them; else the motor,
    /// marked as uncertain.</summary>
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
