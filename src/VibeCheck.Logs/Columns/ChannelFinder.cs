using static VibeCheck.Logs.Columns.ChannelWords;

namespace VibeCheck.Logs.Columns;

/// <summary>Finds out what a column holds from its header alone.</summary>
internal static class ChannelFinder
{
    /// <summary>The channel that the header names, and the unit if it gives one that fits. The channel is null for a column that is not
    /// needed.</summary>
    internal static (Channel? Channel, Unit? Unit) Find(string header)
    {
        // A header that starts like a formula names no channel; it is shown as text and ignored.
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

        Channel? channel = Inertial(words, unit) ?? Aircraft(words, unit) ?? MotorChannelFinder.Find(words, unit);
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
}
