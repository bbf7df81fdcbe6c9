using System.Globalization;
using VibeCheck.Core.Airframes;

namespace VibeCheck.Core.Surveys;

/// <summary>The shims that were put under a motor, as the surveyor wrote them down.</summary>
/// <param name="MotorId">The motor.</param>
/// <param name="Text">As written, such as "right 0.2; left-out 0.1+0.1".</param>
/// <param name="Bolts">Every bolt with its stack; null where the airframe does not say where its bolts are.</param>
public sealed record FittedShims(string MotorId, string Text, IReadOnlyList<BoltShims>? Bolts)
{
    /// <summary>Reads what was written: places with their stacks, such as "right 0.2" (all bolts on the right), "right-out 0.2+0.1;
    /// left 0.1", or "none".</summary>
    /// <param name="motorId">The motor.</param>
    /// <param name="text">As written.</param>
    /// <param name="pattern">Its bolts; null when not known, and then the text is kept as it is.</param>
    /// <returns>The shims, or null with the part that is no place with its shims.</returns>
    public static (FittedShims? Shims, string? NotRead) Read(string motorId, string text, BoltPattern? pattern)
    {
        ArgumentNullException.ThrowIfNull(text);
        if (pattern is null)
        {
            return (new(motorId, text, null), null);
        }

        var stacks = pattern.Bolts.ToDictionary(b => b.Place, _ => new List<double>());
        foreach (string part in text.Equals("none", StringComparison.OrdinalIgnoreCase) ? [] : Parts(text))
        {
            string[] words =
            [
                .. part.ToLowerInvariant().Replace("mm", "", StringComparison.Ordinal).Split(' ', StringSplitOptions.RemoveEmptyEntries),
            ];
            double[]? pieces = words.Length > 1 ? Pieces(words[^1]) : null;
            string place = string.Join(' ', words.Take(words.Length - 1));
            string[] bolts = [.. pattern.Bolts.Select(b => b.Place).Where(b => b == place || b.Split('-', ' ').Contains(place))];
            if (pieces is null || bolts.Length == 0)
            {
                return (null, part);
            }

            foreach (string bolt in bolts)
            {
                stacks[bolt].AddRange(pieces);
            }
        }

        return (new(motorId, text, [.. pattern.Bolts.Select(b => new BoltShims(b, [.. stacks[b.Place].OrderDescending()]))]), null);
    }

    /// <summary>Stacks as they are written down, such as "right-out 0.2+0.1; left-in 0.1"; "none" where nothing lies under the
    /// motor.</summary>
    public static string TextOf(IEnumerable<BoltShims> bolts)
    {
        string[] parts =
        [
            .. bolts
                .Where(b => b.StackMm.Count > 0)
                .Select(b => $"{b.Bolt.Place} {string.Join('+', b.StackMm.Select(mm => mm.ToString(CultureInfo.InvariantCulture)))}"),
        ];
        return parts.Length == 0 ? "none" : string.Join("; ", parts);
    }

    /// <summary>The tilt that these shims should leave, degrees, signed as the tilt; null where a
    /// direction, or where the bolts are, is not known.</summary>
    /// <param name="found">The tilt as found.</param>
    /// <param name="level">A lower motor of a pair hangs: its shims act the other way round.</param>
    public (double? AcrossDeg, double? AlongDeg) Leaves(MotorTilt found, MotorLevel level)
    {
        ArgumentNullException.ThrowIfNull(found);
        if (Bolts is null)
        {
            return (null, null);
        }

        (double across, double along) = new MountPlane(new BoltPattern([.. Bolts.Select(b => b.Bolt)])).Slopes([
            .. Bolts.Select(b => b.HeightMm),
        ]);
        double sense = level == MotorLevel.Lower ? -1 : 1;
        double? Left(double? deg, double slope) =>
            deg is double d ? double.RadiansToDegrees(Math.Atan(Math.Tan(double.DegreesToRadians(d)) - sense * slope)) : null;
        return (Left(found.AcrossDeg.Value, across), Left(found.AlongDeg.Value, along));
    }

    /// <summary>Parts stand between semicolons, ampersands or commas; a comma between digits is a decimal mark.</summary>
    private static List<string> Parts(string text)
    {
        var parts = new List<string>();
        int from = 0;
        for (int i = 0; i <= text.Length; i++)
        {
            bool decimalMark =
                i > 0 && i + 1 < text.Length && text[i] == ',' && char.IsAsciiDigit(text[i - 1]) && char.IsAsciiDigit(text[i + 1]);
            if (i == text.Length || (text[i] is ';' or ',' or '&' && !decimalMark))
            {
                parts.Add(text[from..i].Trim());
                from = i + 1;
            }
        }

        parts.RemoveAll(p => p.Length == 0);
        return parts;
    }

    private static double[]? Pieces(string text)
    {
        var pieces = new List<double>();
        foreach (string piece in text.Split('+'))
        {
            if (TypedNumber.Read(piece, out double mm) != TypedNumberForm.Number || mm is not (>= 0 and < 5))
            {
                return null;
            }

            pieces.Add(mm);
        }

        return [.. pieces.Where(mm => mm > 0)];
    }
}
